"""A garage: a real data folder, its application, and browsers with every sort of key or none."""

import hashlib
import json
import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from werkzeug.routing import Rule
from werkzeug.test import TestResponse

from app.store.crew import ROLES, let_in
from app.store.db.clock import new_id, stamp
from app.store.demo.demo import fill_demo
from app.store.demo.drawn_photos import TagCard, draw_photo
from app.store.folder import DATABASE_FILE, Folder, open_folder
from app.store.journal import append
from app.store.plan.builds import Writer, new_build
from app.store.tags import print_sheet
from app.web.factory import create_app
from tests.swaps import NO_ENGINE

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
START_KEY = "the-start-key"
NUMBER = "192.0.2.7"


@dataclass(frozen=True, slots=True)
class Made:
    """A folder as it is copied for each test, and what its rows cannot tell: the device keys."""

    path: Path
    keys: dict[str, str]


class Browser:
    """A browser; what it posts carries its own token unless told otherwise."""

    def __init__(self, app: Flask, folder: Folder, key: str = "") -> None:
        self.client = app.test_client()
        self._key = (f"putback_{folder.id[:12]}", key)
        if key:
            self.client.set_cookie(*self._key)

    @property
    def token(self) -> str:
        """The token that this browser's pages carry."""
        found = re.search(r'name="csrf-token" content="([^"]+)"', self.client.get("/knock").text)
        assert found
        return found[1]

    def get(self, address: str, **headers: str) -> TestResponse:
        """Open a page, under another host where one is named."""
        if host := headers.get("Host", "").partition(":")[0].strip(" .").lower():
            self.client.set_cookie(*self._key, domain=host)
        sent = {name.replace("_", "-"): value for name, value in headers.items()}
        return self.client.get(address, headers=sent, buffered=True)

    def post(self, address: str, **form: Any) -> TestResponse:
        """Send a form."""
        return self.client.post(address, data={"csrf_token": self.token, **form})

    def send(self, entry: Any, photo: bytes | None = None) -> TestResponse:
        """Send an entry of the outbox."""
        data: dict[str, Any] = {"entry": entry if isinstance(entry, str) else json.dumps(entry)}
        if photo is not None:
            data["photo"] = (BytesIO(photo), "p.jpg")
        return self.client.post("/lines", data=data, headers={"X-CSRFToken": self.token})


class Garage:
    """A served folder."""

    def __init__(self, made: Made) -> None:
        self.folder = open_folder(made.path, now=NOW)
        self.app = create_app(
            self.folder, port=8765, start_key=START_KEY, addresses=lambda: (NUMBER,), demo=False
        )
        self.owner, self.helper, self.onlooker = (
            Browser(self.app, self.folder, made.keys[role]) for role in ROLES
        )
        self.stranger = Browser(self.app, self.folder)

    def rows(self, query: str, *values: object) -> list[tuple[Any, ...]]:
        """Return what the database file holds."""
        with closing(sqlite3.connect(self.folder.path / DATABASE_FILE)) as database:
            return database.execute(query, values).fetchall()

    def one(self, query: str, *values: object) -> Any:
        """Return the first value of the first row."""
        return self.rows(query, *values)[0][0]

    def everything(self) -> str:
        """Return a digest of every row of every table and of the names of all picture files."""
        tables = [name for (name,) in self.rows("SELECT name FROM sqlite_master WHERE type = 'table'")]
        rows = {name: self.rows(f'SELECT * FROM "{name}"') for name in tables}  # noqa: S608 - its own names
        files = sorted(str(path) for path in self.folder.photos.rglob("*"))
        return hashlib.sha256(repr((rows, files)).encode()).hexdigest()

    def blank(self) -> str:
        """Return a printed code that nothing has yet."""
        return str(self.one("SELECT code FROM tag WHERE subject IS NULL AND void_at IS NULL ORDER BY code"))

    def photo(self, code: str = "") -> bytes:
        """Return a drawn photograph, with a tag in it where there is a code."""
        card = TagCard("garage", 8765, code) if code else None
        return draw_photo("hose", variety=1, words="", card=card)

    def capture(self, **fields: Any) -> dict[str, Any]:
        """Return an entry that makes an item."""
        return {
            "id": new_id(),
            "item": new_id(),
            "type": "capture",
            "folder": self.folder.id,
            "build": self.one("SELECT id FROM build"),
            "kind": "connection",
            "at": stamp(NOW),
            **fields,
        }

    def mark(self, item: str, act: str, **fields: Any) -> dict[str, Any]:
        """Return an entry that marks an item, in sight of all its lines."""
        after = [row[0] for row in self.rows("SELECT id FROM journal WHERE subject = ?", f"item:{item}")]
        return {
            "id": new_id(),
            "type": "line",
            "folder": self.folder.id,
            "build": self.one("SELECT id FROM build"),
            "subject": f"item:{item}",
            "verb": "mark",
            "body": {"act": act},
            "after": after,
            **fields,
        }

    def item(self, kind: str = "connection", **words: Any) -> str:
        """Take something off with a fresh tag, describe it with these words, and return its id."""
        entry = self.capture(kind=kind, code=self.blank())
        assert self.owner.send(entry).status_code == 200
        item = str(entry["item"])
        if words:
            answer = self.describe(item, kind=kind, **words)
            assert answer.status_code == 302, answer.text
        return item

    def describe(self, item: str, **words: Any) -> TestResponse:
        """Send the bench form of an item."""
        rev, kind = self.rows("SELECT rev, kind FROM item WHERE id = ?", item)[0]
        filled = {"rev": rev, "kind": kind, "zone": "", "step": "", "owner": "vehicle", "one_time": "unknown"}
        filled |= {"torque_answer": "later"}
        return self.owner.post(f"/i/{item}/describe", **{"what": "keep", **filled, **words})

    def number(self, item: str) -> int:
        """Return an item's running number."""
        return int(self.one("SELECT number FROM item WHERE id = ?", item))

    def detail(self, item: str) -> dict[str, Any]:
        """Return an item's words as stored."""
        found: dict[str, Any] = json.loads(self.one("SELECT detail FROM item WHERE id = ?", item))
        return found

    def state(self, item: str) -> dict[str, Any]:
        """Return an item's state as stored."""
        found: dict[str, Any] = json.loads(
            self.one("SELECT state FROM item_state WHERE subject = ?", f"item:{item}")
        )
        return found

    def address(self, rule: Rule) -> str:
        """Return an address of a route that leads to something."""
        queries = {
            "step_id": "SELECT id FROM step",
            "item_id": "SELECT id FROM item WHERE kind = 'fastener'",
            "zone_id": "SELECT id FROM zone",
            "place_id": "SELECT id FROM place",
            "photo_id": "SELECT id FROM photo",
            "outstanding_id": "SELECT id FROM outstanding",
            "device_id": "SELECT id FROM device WHERE role = 'onlooker'",
            "code": "SELECT code FROM tag WHERE subject IS NULL",
            "tail": "SELECT code FROM tag WHERE subject IS NOT NULL",
        }
        known = {
            "nr": 1,
            "n": 1,
            "sheet_nr": 1,
            "key": "wrong",
            "entry_id": "0" * 32,
            "token": "wrong",
            "filename": "css/site/base.css",
            "gate": "start",
            "name": "marks",
        }
        values = {name: known.get(name) or self.one(queries[name]) for name in rule.arguments}
        return str(self.app.url_map.bind("localhost").build(rule.endpoint, values))

    def routes(self, method: str) -> list[tuple[str, str]]:
        """Return (endpoint, address) of every route that takes a method."""
        rules = [rule for rule in self.app.url_map.iter_rules() if method in (rule.methods or ())]
        return [(str(rule.endpoint), self.address(rule)) for rule in rules]

    def delete_step(self, step: str) -> None:
        """Delete a step as the owner: ask, read what goes with it, and do it."""
        asked = self.owner.post(f"/steps/{step}", what="delete")
        told = re.search(r'name="goes_with" value="([^"]+)"', asked.text)
        assert told
        answer = self.owner.post(f"/steps/{step}", what="delete", goes_with=told[1])
        assert answer.status_code == 302

    def close(self) -> None:
        """Let the folder go."""
        self.folder.close()


def _let_everybody_in(folder: Folder) -> dict[str, str]:
    with folder.database.unit_of_work() as session:
        names = {"owner": "Olive", "helper": "Hank", "onlooker": "Lou"}
        return {
            role: let_in(session, name=names[role], label="a phone", role=role, now=NOW)[1] for role in ROLES
        }


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """A build without items, a sheet of blank tags printed long ago under another name."""
    folder = open_folder(tmp_path_factory.mktemp("small") / "data", now=NOW)
    keys = _let_everybody_in(folder)
    with folder.database.unit_of_work() as session:
        made = new_build(
            session,
            title="Blue van",
            vehicle="a van",
            layout_key="transverse",
            units="N·m",
            dialect="us",
            writer=Writer("", ""),
            now=stamp(NOW),
            swap=NO_ENGINE,
        )
        turn = Writer("", "").line(f"build:{made.id}", "turn", {"units": ["vehicle"], "to": "together"})
        append(session, turn, build_id=made.id, now=stamp(NOW))
        print_sheet(
            session, count=40, grid="a4-40", halves=True, name="garage-old", port=8000, now=stamp(NOW)
        )
    folder.close()
    return Made(folder.path, keys)


@pytest.fixture(scope="session")
def full(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """The invented build: every kind of line in many states, with places, photos and tags."""
    folder = open_folder(tmp_path_factory.mktemp("full") / "data", now=NOW, demo=True)
    fill_demo(folder, now=NOW)
    keys = _let_everybody_in(folder)
    folder.close()
    return Made(folder.path, keys)


def _served(made: Made, at: Path) -> Iterator[Garage]:
    found = Garage(Made(Path(shutil.copytree(made.path, at / "data")), made.keys))
    yield found
    found.close()


@pytest.fixture
def garage(small: Made, tmp_path: Path) -> Iterator[Garage]:
    """A build without items."""
    yield from _served(small, tmp_path)


@pytest.fixture
def busy(full: Made, tmp_path: Path) -> Iterator[Garage]:
    """The invented build."""
    yield from _served(full, tmp_path)
