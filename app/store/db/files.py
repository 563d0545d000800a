"""Files that travel with the program, and files that are put in place whole."""

import os
import sys
from pathlib import Path

_APP = Path(__file__).parents[2]


def bundled(name: str) -> Path:
    """Return the folder `templates`, `static`, `migrations` or `seed_data`.

    It lies beside `app` in a checkout and under `app/_bundled` in an installed program.
    """
    installed = _APP / "_bundled"
    return (installed if installed.is_dir() else _APP.parent) / name


def put_in_place(written: Path, target: Path) -> None:
    """Give a finished file its name so that a power cut leaves all of it or nothing.

    Args:
        written: The finished file, in the same folder as `target`.
        target: Its name from now on; a file that has this name is replaced.

    Raises:
        OSError: The disk refuses; `target` is then as it was.
    """
    with written.open("rb+") as file:
        os.fsync(file.fileno())
    written.replace(target)
    keep_names(target.parent)


def keep_names(folder: Path) -> None:
    """Make the names in a folder durable; Windows has no such call and needs none.

    Raises:
        OSError: The disk refuses.
    """
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
