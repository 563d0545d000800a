"""The record alone suffices: what is dropped comes back from the lines, each page the same to a byte."""

import re
import shutil
from collections import deque
from collections.abc import Iterable
from html import unescape
from pathlib import Path
from urllib.parse import urldefrag, urljoin, urlsplit

from sqlalchemy import text

from app.store.rebuilding.rebuilding import rebuild
from tests.web.conftest import Garage, Made

LEAST, MOST = 1000, 6000
"""Pages of the invented build: fewer were not crawled, more are not of one build."""
MANY_KINDS = 50
OF_EACH_REQUEST = re.compile(rb'(?:name="csrf-token" content|name="csrf_token"[^>]* value|nonce)="[^"]*"')
LINK = re.compile(rb'\s(?:href|src)="([^"]*)"')
AN_ID = re.compile(rb"\b[0-9a-f]{32}\b")

Page = tuple[int, str, bytes]
"""Status, where it leads, and body."""


def fetched(garage: Garage, address: str) -> Page:
    answer = garage.owner.get(address)
    return answer.status_code, answer.headers.get("Location", ""), answer.get_data()


def crawled(garage: Garage) -> dict[str, Page]:
    """Fetch every page of the owner's: all routes, and all that links lead to from them."""
    waiting = deque(address for _, address in garage.routes("GET"))
    found: dict[str, Page] = {}
    while waiting:
        address = waiting.popleft()
        if address in found or address.startswith("/static/"):
            continue
        found[address] = fetched(garage, address)
        assert len(found) < MOST, "this goes on for ever"
        waiting += led_to(address, found[address])
    return found


def led_to(address: str, page: Page) -> list[str]:
    """Return the addresses in this program that a page has links or pictures to."""
    _, leads, body = page
    named = [unescape(led.decode()) for led in LINK.findall(body)] if body.lstrip().startswith(b"<") else []
    there = [urlsplit(urldefrag(urljoin(address, led)).url) for led in (leads, *named) if led]
    return [each.geturl() for each in there if not each.scheme and not each.netloc]


def known_ids(garage: Garage) -> frozenset[bytes]:
    """Return every id that any row holds: any other one on a page was made for the form that it stands in."""
    tables = [name for (name,) in garage.rows("SELECT name FROM sqlite_master WHERE type = 'table'")]
    rows = (garage.rows(f'SELECT * FROM "{name}"') for name in tables)  # noqa: S608 - its own names
    return frozenset(each for table in rows for each in AN_ID.findall(repr(table).encode()))


def lasting(page: Page, known: frozenset[bytes]) -> Page:
    """Return a page without what each request for it has of its own."""
    status, leads, body = page
    plain = OF_EACH_REQUEST.sub(b"", body)
    return status, leads, AN_ID.sub(lambda m: m[0] if m[0] in known else b"new", plain)


def kinds(addresses: Iterable[str]) -> set[str]:
    return {re.sub(r"[0-9a-f]{32,}|\b[0-9A-Z]{7}\b|\d+", "*", urlsplit(each).path) for each in addresses}


def test_every_page_is_the_same_after_all_that_follows_from_the_journal_was_dropped_and_filled_again(
    full: Made, tmp_path: Path
) -> None:
    made = Made(Path(shutil.copytree(full.path, tmp_path / "data")), full.keys)
    garage = Garage(made)
    known, before = known_ids(garage), crawled(garage)
    assert len(before) > LEAST
    assert len(kinds(before)) > MANY_KINDS
    with garage.folder.database.unit_of_work() as session:
        for table in ("item", "step", "place", "wrench"):
            session.execute(text(f"UPDATE {table} SET name = 'spoilt'"))  # noqa: S608 - what is named above
        session.execute(text("UPDATE item_state SET state = '{}'"))
        rebuild(session)
    assert all(garage.one(f"SELECT count(*) FROM {name}") for name in ("item_state", "item", "shows"))  # noqa: S608
    garage.close()

    again = Garage(made)  # another application, which has kept nothing in its memory
    differing = [
        address
        for address, page in before.items()
        if lasting(page, known) != lasting(fetched(again, address), known)
    ]
    again.close()
    assert differing == []
