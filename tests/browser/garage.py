"""A real `putback` process as phones see it: by its name, over plain http, never as localhost."""

import re
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

from playwright.sync_api import BrowserContext, Page, Request, expect

from tests.patience import milliseconds, seconds
from tests.running import HERE, Running, free_port, running

NAME = "garage"
DEMO_NAME = "demo-garage"
NAMES = frozenset({f"{NAME}.local", f"{DEMO_NAME}.local", HERE})
WAIT_S = 5
PHOTO_WAIT_S = 20
"""A photo is read at twice its size."""

OpenPhone = Callable[..., Page]


@dataclass
class Garage:
    """A data folder, the port it is served at, and its process while there is one."""

    folder: Path
    name: str = NAME
    port: int = field(default_factory=free_port)
    process: Running | None = None
    _stack: ExitStack = field(default_factory=ExitStack)

    def start(self) -> None:
        """Start the server on the folder; the demo's makes its own."""
        what = ["demo"] if self.name == DEMO_NAME else ["--data", str(self.folder)]
        arguments = [*what, "--port", str(self.port), "--name", self.name]
        self.process = self._stack.enter_context(running(*arguments))
        self.folder = self.process.folder

    def stop(self) -> None:
        """Stop the server as closing its terminal does."""
        self._stack.close()
        self.process = None

    def at(self, path: str) -> str:
        """Return the address of a page under the name."""
        return f"http://{self.name}.local:{self.port}{path}"

    @property
    def start_link(self) -> str:
        """The printed one-time link, under the name."""
        assert self.process
        return self.at(urlsplit(self.process.start_link).path)


@contextmanager
def garage_in(folder: Path, *, name: str = NAME) -> Iterator[Garage]:
    """Serve a folder, or the demo where that is the name, and stop at the end."""
    garage = Garage(folder, name)
    garage.start()
    try:
        yield garage
    finally:
        garage.stop()


def watch(context: BrowserContext, wrong: list[str]) -> None:
    """Note every script error, every breach of the content policy and every request that leaves."""

    def note_stray(request: Request) -> None:
        parts = urlsplit(request.url)
        if parts.scheme in {"http", "https", "ws", "wss"} and parts.hostname not in NAMES:
            wrong.append(f"left this machine: {request.url}")

    context.on("request", note_stray)
    context.on("weberror", lambda error: wrong.append(f"{error.error}"))
    context.on(
        "console",
        lambda said: wrong.append(said.text) if "Content Security Policy" in said.text else None,
    )


def be_patient(context: BrowserContext) -> None:
    """Let a browser and what is expected of its pages take as long as the machine now needs."""
    context.set_default_timeout(milliseconds(WAIT_S))
    expect.set_options(timeout=milliseconds(WAIT_S))


def wait_until(page: Page, holds: Callable[[], bool]) -> None:
    """Let the page go on until something holds that no page shows."""
    give_up = time.monotonic() + seconds(WAIT_S)
    while not holds():
        assert time.monotonic() < give_up, "what was waited for did not come"
        page.wait_for_timeout(20)


def begin(page: Page, garage: Garage, *, name: str) -> None:
    """Open the printed start link and say who this is."""
    page.goto(garage.start_link)
    page.get_by_label("Your name").fill(name)
    page.get_by_role("button", name="Begin on this computer").tap()
    expect(page).not_to_have_url(re.compile("/start/"))


def make_build(page: Page, *, title: str) -> None:
    """Make a build by the form."""
    page.get_by_label("Title").fill(title)
    choose(page, "Lengthwise, V")
    page.get_by_role("button", name="Make the build").tap()
    expect(page).to_have_url(re.compile(r"/b/1/bay$"))


def choose(page: Page, words: str) -> None:
    """Tap one of the large tiles."""
    page.locator("label.tile").filter(has_text=words).tap()


def print_sheet(page: Page, garage: Garage) -> bytes:
    """Make a sheet of halves by the form and return the PDF that the page's own address gives."""
    page.goto(garage.at("/b/1/print"))
    choose(page, "in halves A and B")
    page.get_by_role("button", name="Make the sheet").tap()
    page.wait_for_url(re.compile(r"/sheets/\d+\.pdf$"))
    path = urlsplit(page.url).path
    page.goto(garage.at("/b/1/print"))
    return fetch(page, path)


def fetch(page: Page, path: str) -> bytes:
    """Return a file by the page's own request."""
    read: list[int] = page.evaluate(
        """async (path) => {
          const response = await fetch(path);
          if (!response.ok) throw new Error(`${path}: ${response.status}`);
          return [...new Uint8Array(await response.arrayBuffer())];
        }""",
        path,
    )
    return bytes(read)


def choose_kind(page: Page, kind: str) -> None:
    """Choose what is taken next: a tap on the chip, and one on the kind."""
    page.locator("summary", has_text="What").tap()
    choose(page, kind)


def take_by_code(page: Page, code: str, *, kind: str = "") -> None:
    """Type a tag's code on the page left open."""
    if kind:
        choose_kind(page, kind)
    typed = page.get_by_label("Type the code")
    if not typed.is_visible():
        page.locator("summary", has_text="More").tap()
    typed.fill(code)
    page.get_by_role("button", name="Take with this code").tap()


def take_by_photo(page: Page, photo: bytes, *, kind: str = "") -> None:
    """Photograph something with its tag in the frame on the page left open."""
    if kind:
        choose_kind(page, kind)
    page.locator("[data-shoot] input").set_input_files(
        {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": photo}
    )


def expect_landed(page: Page, count: int) -> None:
    """Outstanding until so many captures on the open page became lines."""
    rows = page.locator("[data-taken] li", has_text="off, words can wait")
    expect(rows).to_have_count(count, timeout=milliseconds(PHOTO_WAIT_S))


def pairing_address(page: Page, garage: Garage, role: str) -> str:
    """Ask for a pairing code on the crew page and return the address that it shows."""
    page.goto(garage.at("/b/1/crew"))
    choose(page, role)
    page.get_by_role("button", name="Let a phone in").tap()
    return page.locator("[data-pairing]").inner_text()


def pair(page: Page, address: str, *, name: str) -> None:
    """Open a pairing address on a phone and say who holds it."""
    page.goto(address)
    page.get_by_label("Your name").fill(name)
    page.get_by_role("button", name="Let this phone in").tap()
    expect(page).to_have_url(re.compile(r"/b/1/(?:now|status)$"))
