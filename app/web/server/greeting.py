"""What the terminal says when the server has started."""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from qrcode.constants import ERROR_CORRECT_L
from qrcode.main import QRCode

from app.web.cli.options import EVERYWHERE


@dataclass(frozen=True, slots=True)
class Reach:
    """Where the server can be reached.

    Args:
        host: The address it listens on.
        port: Its port.
        name: The name that phones find it by, without `.local`; empty where it belongs to another machine.
        numbers: This machine's addresses on its networks, the most likely one first.
        key: The one-time key of the start link.
    """

    host: str
    port: int
    name: str
    numbers: Sequence[str]
    key: str

    @property
    def start_link(self) -> str:
        """The address that lets this computer's browser in, once."""
        host = "127.0.0.1" if self.host == EVERYWHERE else self.host
        return f"http://{host}:{self.port}/start/{self.key}"

    @property
    def for_phones(self) -> tuple[str, ...]:
        """The addresses for phones, the best one first; none where only this computer can reach it."""
        if not self.numbers and self.host != EVERYWHERE:
            return ()
        names = (f"{self.name}.local",) if self.name else ()
        return tuple(f"http://{host}:{self.port}/" for host in (*names, *self.numbers))


def greeting(folder: Path, reach: Reach, *, demo: bool, printed: Sequence[tuple[str, int]]) -> str:
    """Return the text.

    Args:
        folder: The data folder.
        reach: Where the server can be reached.
        demo: Whether this is the invented build.
        printed: The names and ports on tags already printed.
    """
    return "\n".join(
        (
            "Putback, the demo: everything in it is invented." if demo else "Putback is running.",
            "",
            f"  Data folder    {folder}",
            f"  This computer  {reach.start_link}",
            "                 (lets one browser in, once)",
            *_phone_lines(reach.for_phones),
            *_tag_lines(reach, printed),
            "",
            "To stop: Ctrl+C here.",
        )
    )


def _phone_lines(addresses: Sequence[str]) -> list[str]:
    if not addresses:
        return ["", "Only this computer can reach it: phones need it started without this --host."]
    first, *others = addresses
    return [
        f"  Phones         {first}",
        *(f"              or {address}" for address in others),
        "",
        "Anyone on this network can reach this address; only paired phones can read anything.",
        "",
        picture(first),
    ]


def _tag_lines(reach: Reach, printed: Sequence[tuple[str, int]]) -> list[str]:
    """Say which older addresses stay in use because tags carry them."""
    older = [f"{name}.local:{port}" for name, port in printed if (name, port) != (reach.name, reach.port)]
    return (
        ["", f"Tags already printed say {', '.join(older)}: kept in use beside the new address."]
        if older
        else []
    )


def picture(address: str) -> str:
    """Return a QR code of an address for a terminal, in half-block characters, light on dark."""
    code = QRCode(error_correction=ERROR_CORRECT_L, border=2)
    code.add_data(address)
    lines = io.StringIO()
    code.print_ascii(out=lines, invert=True)
    return lines.getvalue().rstrip("\n")
