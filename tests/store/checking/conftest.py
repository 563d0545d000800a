"""A data folder with a little of everything, and ways to do it harm from outside."""

import os
import sqlite3
from collections import Counter
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest

from app.core.items.items import Fastener, Item
from app.core.items.kinds import Act, Kind
from app.store import tags
from app.store.checking.folder import check_folder
from app.store.db.clock import new_id
from app.store.db.models import Place
from app.store.intake.entries import StoredPicture
from app.store.intake.photos import keep_picture, picture_path
from app.store.journal import append
from app.store.plan.items import set_edges
from tests.store.garage import NOW, Garage

CODE = "2345678"
ANOTHER_BUILD = (
    "INSERT INTO build SELECT 'other', 9, title, vehicle, layout, units, dialect, made_at, rev, currency,"
    " swap FROM build"
)
LATER = 4_000_000_000.0
"""A time at which no file is young any more, [s] since 1970."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A folder that is in use: its server's connections are open all the while."""

    path: Path
    garage: Garage
    pump: str
    bolts: str
    crate: str
    photo: str
    sha: str

    @property
    def picture(self) -> Path:
        return picture_path(self.path / "photos", self.sha)

    def harm(self, *statements: str, **values: str) -> None:
        """Change the file as no part of the program would; `:pump` and the like stand for ids."""
        known = {"pump": self.pump, "bolts": self.bolts, "crate": self.crate, "build": self.garage.build}
        with closing(sqlite3.connect(self.path / "putback.db")) as database:
            guards = database.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
            for name, _ in guards:
                database.execute(f"DROP TRIGGER {name}")
            for statement in statements:
                assert database.execute(statement, known | values).rowcount, statement
            for _, sql in guards:
                database.execute(sql)
            database.commit()

    def said(self) -> list[tuple[str, str, str]]:
        return [(p.code, p.where, p.message) for p in check_folder(self.path, now=LATER)]

    def codes(self) -> Counter[str]:
        return Counter(code for code, _, _ in self.said())


@pytest.fixture
def kept(garage: Garage, database_path: Path) -> Kept:
    pump, bolts, crate = new_id(), new_id(), new_id()
    photos = database_path.parent / "photos"
    photos.mkdir()
    garage.add(Item(pump, 0, Kind.PART, "Pump", garage.steps[0], garage.zones[0]), act=Act.ASIDE)
    garage.add(Item(bolts, 0, Kind.FASTENER, "Pump bolts", n=2, detail=Fastener()), act=Act.OFF)
    with garage.database.unit_of_work() as session:
        set_edges(session, bolts, "holds", {pump}, garage.about(f"item:{bolts}", "edit", {}), now=NOW)
        session.add(Place(id=crate, build_id=garage.build, name="Crate", parent_id=None))
        session.flush()
        line = garage.about(f"place:{crate}", "add", {"name": "Crate"})
        append(session, line, build_id=garage.build, now=NOW)
        line = garage.about(f"tag:{CODE}", "give", {"to": f"item:{pump}"})
        assert tags.give(session, CODE, f"item:{pump}", line, build_id=garage.build, now=NOW)
    garage.receive(garage.line(f"item:{pump}", "move", after=garage.entry(pump).state.tips, place=crate))
    sha = keep_picture(photos, b"a picture of the pump")
    answer = garage.receive(
        garage.capture(subject=f"item:{pump}"), picture=StoredPicture(sha, 40, 30), codes=()
    )
    os.utime(picture_path(photos, sha), (1, 1))
    return Kept(database_path.parent, garage, pump, bolts, crate, answer.body["photo"], sha)
