"""What was asked for on the command line."""

import argparse
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from platformdirs import user_data_path

from app.core.tags import LONGEST_NAME

DEMO_NAME = "demo-garage"
DEMO_PORT = 8766
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


def read_options(arguments: Sequence[str] | None = None) -> Options:
    """Read the command line.

    Args:
        arguments: Without the program's name; None for those of this process.

    Raises:
        OptionError: An option is unknown or its value cannot be used.
    """
    found = _parser().parse_intermixed_args(arguments)
    demo = found.what == "demo"
    data = Path(found.data).expanduser().absolute() if found.data else None
    return Options(
        demo=demo,
        data=data or (None if demo else user_data_path("putback", appauthor=False)),
        port=_port(found.port) if found.port else (DEMO_PORT if demo else None),
        host=found.host,
        name=_name(found.name) if found.name else (DEMO_NAME if demo else None),
        browser=not found.no_browser,
    )


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
        "what", nargs="?", choices=["demo"], help="show an invented build in a temporary folder"
    )
    parser.add_argument("--data", metavar="DIR", help="the data folder")
    parser.add_argument("--port", metavar="N", help="the port; it is printed on tags, so keep it")
    parser.add_argument(
        "--host", metavar="ADDRESS", default=EVERYWHERE, help="the address to listen on (%(default)s)"
    )
    parser.add_argument(
        "--name", metavar="NAME", help="the name to announce; it is printed on tags, so keep it"
    )
    parser.add_argument("--no-browser", action="store_true", help="leave the browser closed")
    return parser


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
