"""`putback check`: a data folder looked through for damage, beside a running server too."""

import sys
import time

from app.store.checking.folder import check_folder
from app.store.folder import DATABASE_FILE
from app.web.cli.options import CheckOptions, OptionError

WRONG = 1


def run_check(options: CheckOptions) -> int:
    """Say what is wrong and where, each on a line of its own.

    Returns:
        0 where all is well, 1 where something is wrong.

    Raises:
        OptionError: There is no such folder, no database in it, or the check was stopped.
        MigratingError: Its database is of another version, or none of this program.
    """
    if not options.data.is_dir():
        raise OptionError(f"There is no folder {options.data}: name the data folder with --data DIR.")
    if not (options.data / DATABASE_FILE).is_file():
        raise OptionError(f"{options.data} holds no {DATABASE_FILE}: name the data folder with --data DIR.")
    wrong = 0
    try:
        for problem in check_folder(options.data, now=time.time()):
            wrong += 1
            _say(f"{problem.where[:1].upper()}{problem.where[1:]}: {problem.message}")
    except KeyboardInterrupt as error:
        raise OptionError("The check was stopped before everything was looked at.") from error
    if not wrong:
        _say(f"All is well in {options.data}.")
        return 0
    many = "One thing is" if wrong == 1 else f"{wrong} things are"
    _say(f"{many} wrong in {options.data}. Nothing was changed.")
    return WRONG


def _say(text: str) -> None:
    sys.stdout.buffer.write(f"{text}\n".encode("utf-8", "replace"))
    sys.stdout.buffer.flush()
