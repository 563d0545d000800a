"""What was asked for on the command line."""

import argparse
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from platformdirs import user_data_path

from app.core.tags import LONGEST_NAME
from app.store.plan.builds import LAYOUTS

DEMO_NAME = "demo-garage"
DEMO_PORT = 8766
LIST_COMMANDS = ("import", "export", "order")
CHECK_COMMAND = "check"
EVERYWHERE = "0.0.0.0"  # noqa: S104 - phones come over the network; the start-up text says so
_HIGHEST_PORT = 65535
_NAME = re.compile(r"[a-z0-9]([a-z0-9-]*[a-z0-9])?", re.ASCII)


class OptionError(Exception):
    """An option cannot be used; the message is one sentence that says what would do."""


@dataclass(frozen=True, slots=True)
class Options:
    """What to start.

    Args:
        demo: Whether to show the invented build.
        data: The data folder; None for a demo in a temporary one.
        port: 1 to 65535; None for the folder's own.
        host: The address to listen on.
        name: The name to announce, without `.local`; None for the folder's own.
        browser: Whether to open the browser.
    """

    demo: bool
    data: Path | None
    port: int | None
    host: str
    name: str | None
    browser: bool


@dataclass(frozen=True, slots=True)
class ListOptions:
    """What to do with a list.

    Args:
        what: `import`, `export` or `order`.
        data: The data folder.
        file: The file to import.
        build: The build's number; None for the only one.
        layout: How the engine sits in a build that is made; None for what the list's zones fit best.
        json: Whether the order is printed for a program.
    """

    what: str
    data: Path
    file: Path | None
    build: int | None
    layout: str | None
    json: bool


@dataclass(frozen=True, slots=True)
class CheckOptions:
    """What to look through for damage.

    Args:
        data: The data folder.
    """

    data: Path


def read_command(arguments: Sequence[str] | None = None) -> Options | ListOptions | CheckOptions:
    """Read the command line: what to start, to look through, or to do with a list.

    Args:
        arguments: Without the program's name; None for those of this process.

    Raises:
        OptionError: An option is unknown or its value cannot be used.
    """
    found = _parser().parse_intermixed_args(arguments)
    if found.what == CHECK_COMMAND:
        _refuse_list_options(found)
        return CheckOptions(_folder(found.data))
    if found.what not in LIST_COMMANDS:
        return read_options(arguments)
    if (found.what == "import") != (found.file is not None):
        wants = "Name the file" if found.file is None else f"{found.what} takes no file"
        raise OptionError(f"{wants}: putback import FILE.csv --data DIR, or putback {found.what} --data DIR.")
    return ListOptions(
        what=found.what,
        data=_folder(found.data),
        file=Path(found.file).expanduser().absolute() if found.file else None,
        build=_build(found.build) if found.build else None,
        layout=found.layout,
        json=found.json,
    )


def read_options(arguments: Sequence[str] | None = None) -> Options:
    """Read the command line of a start.

    Args:
        arguments: Without the program's name; None for those of this process.

    Raises:
        OptionError: An option is unknown or its value cannot be used.
    """
    found = _parser().parse_intermixed_args(arguments)
    _refuse_list_options(found)
    demo = found.what == "demo"
    data = Path(found.data).expanduser().absolute() if found.data else None
    return Options(
        demo=demo,
        data=data or (None if demo else _own_folder()),
        port=_port(found.port) if found.port else (DEMO_PORT if demo else None),
        host=found.host,
        name=_name(found.name) if found.name else (DEMO_NAME if demo else None),
        browser=not found.no_browser,
    )


def _refuse_list_options(found: argparse.Namespace) -> None:
    if found.file is not None or found.build or found.layout or found.json:
        raise OptionError(
            "A file, --build, --layout and --json go with import, export and order: see --help."
        )


def _folder(named: str | None) -> Path:
    return Path(named).expanduser().absolute() if named else _own_folder()


def _own_folder() -> Path:
    return user_data_path("putback", appauthor=False)


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise OptionError(f"{message[:1].upper()}{message[1:]}: see {self.prog} --help.")


def _parser() -> _Parser:
    parser = _Parser(
        prog="putback",
        description="Take an engine out with a phone in the hand; put every item back.",
        epilog=f"{EVERYWHERE} means the whole local network: anyone on it can reach the address, "
        "but only paired phones can read anything. With 127.0.0.1 only this computer can.",
        allow_abbrev=False,
    )
    parser.add_argument(
        "what",
        nargs="?",
        choices=["demo", *LIST_COMMANDS, CHECK_COMMAND],
        help="demo: show an invented build in a temporary folder; import: put in the steps and items of a "
        "CSV file; export: print a build as CSV; order: print the order of putting back; check: look through "
        "the data folder for damage and change nothing",
    )
    parser.add_argument("file", nargs="?", metavar="FILE", help="the file to import")
    parser.add_argument("--data", metavar="DIR", help="the data folder")
    parser.add_argument("--port", metavar="N", help="the port; it is printed on tags, so keep it")
    parser.add_argument(
        "--host", metavar="ADDRESS", default=EVERYWHERE, help="the address to listen on (%(default)s)"
    )
    parser.add_argument(
        "--name", metavar="NAME", help="the name to announce; it is printed on tags, so keep it"
    )
    parser.add_argument("--no-browser", action="store_true", help="leave the browser closed")
    parser.add_argument(
        "--build", metavar="N", help="import, export, order: which build, where there are several"
    )
    parser.add_argument(
        "--layout", choices=LAYOUTS, help="import: how the engine sits in a build that is made"
    )
    parser.add_argument("--json", action="store_true", help="order: for a program")
    return parser


def _build(text: str) -> int:
    if not re.fullmatch(r"[1-9][0-9]{0,8}", text):
        raise OptionError(f"--build {text} is not a build's number: it is 1 for the first one made.")
    return int(text)


def _port(text: str) -> int:
    port = int(text) if text.isascii() and text.isdigit() else 0
    if not 1 <= port <= _HIGHEST_PORT:
        raise OptionError(
            f"--port {text} is not a port: use a number from 1 to {_HIGHEST_PORT}, such as 8765."
        )
    return port


def _name(text: str) -> str:
    name = text.lower().removesuffix(".local")
    if len(name) > LONGEST_NAME or not _NAME.fullmatch(name):
        raise OptionError(
            f"--name {text} cannot be announced: use at most {LONGEST_NAME} letters, digits and hyphens, "
            "such as garage."
        )
    return name
