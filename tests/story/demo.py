"""The demo, as a mechanic knows it: what each of its things ties together is told here by hand."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

from sqlalchemy import select

from app.core.items.kinds import Kind
from app.store.crew import let_in
from app.store.db.models import ItemRow
from app.store.demo.demo import fill_demo
from app.store.folder import open_folder
from tests.story.builds import CREW, Furnished
from tests.story.mechanic import ENGINE, GEARBOX, VEHICLE, Thing, known
from tests.web.conftest import NOW

DEMO = Path(__file__).parents[2] / "seed_data" / "demo"
_UNITS = {"vehicle": VEHICLE, "old engine": ENGINE, "new engine": ENGINE, "gearbox": GEARBOX}
_TIES = {
    **dict.fromkeys(("loom_screws", "eyelet_bolts", "pump_bolts", "compressor_bolts"), ENGINE | VEHICLE),
    **dict.fromkeys(("downpipe_nuts", "downpipe_right_nuts", "crossmember_bolts"), ENGINE | VEHICLE),
    **dict.fromkeys(("mount_left_nuts", "mount_right_nuts"), ENGINE | VEHICLE),
    **dict.fromkeys(("starter_bolts", "bellhousing_bolts", "cover_plate_bolts"), ENGINE | GEARBOX),
}
"""What the demo's list does not say."""
_WHEN = {
    **dict.fromkeys(("flywheel", "flywheel_bolts", "pilot_bearing", "clutch", "clutch_bolts"), "hidden"),
    **dict.fromkeys(("mount_left_nuts", "mount_right_nuts", "crossmember_bolts", "mount_shims"), "mounts"),
    **dict.fromkeys(("hood", "hood_bolts", "hood_light"), "late"),
    **dict.fromkeys(("starter_bolts", "starter", "cover_plate_bolts"), "faces"),
    **dict.fromkeys(("nameless_1", "nameless_2", "nameless_3", "nameless_4"), "after"),
}
_GROUNDS = frozenset({"ground_cable", "body_ground"})
_RELATIONS = ("holds", "joins", "covers", "seals", "closes")


def demo_things() -> dict[str, Thing]:
    """Return what the demo has, by its keys."""
    rows = json.loads((DEMO / "items.json").read_text(encoding="utf-8"))["items"]
    return known(*map(_thing, rows))


def _thing(row: dict[str, Any]) -> Thing:
    key, detail, kind = row["key"], row.get("detail", {}), row["kind"]
    owners = [end["owner"] for end in detail.get("ends", ())] or [row.get("owner", "")]
    ties = frozenset().union(*(_UNITS.get(each, frozenset()) for each in owners))
    ties = _TIES.get(key, ties)
    is_own = kind in {"temporary", "finding"} or (ties == ENGINE and row["step"] != "mate")
    when = _WHEN.get(key, "engine" if is_own else "")
    relations: dict[str, Any] = {rel: tuple(row.get(rel, ())) for rel in _RELATIONS}
    return Thing(
        key,
        kind,
        ties or None,
        row["step"],
        row["name"],
        str(detail.get("type", "")),
        when,
        **relations,
        system=str(detail.get("system") or row.get("system", "")),
        current=_current(key, kind, str(detail.get("type", ""))),
        torque=detail.get("torque", "").split(", then ")[-1],
        once=detail.get("one_time") == "yes",
        bleeds=bool(detail.get("bleeds")),
        n=row.get("n"),
    )


def _current(key: str, kind: str, type_: str) -> str:
    electric = ("battery cable", "ground strap", "electrical connector")
    return "" if kind != "connection" or type_ not in electric else "ground" if key in _GROUNDS else "yes"


def furnish_demo(path: Path) -> Furnished:
    """Fill a folder as `putback demo` does, and let the crew in."""
    folder = open_folder(path, now=NOW, demo=True)
    fill_demo(folder, now=NOW)
    with folder.database.unit_of_work() as session:
        keys = {
            name: let_in(session, name=name, label="a phone", role=CREW[name], now=NOW)[1] for name in CREW
        }
        rows = session.scalars(
            select(ItemRow).where(ItemRow.kind != Kind.STEP).order_by(ItemRow.number)
        ).all()
        things = demo_things()
        ids = dict(zip(things, (row.id for row in rows), strict=True))
        for key, row in zip(things, rows, strict=True):
            assert things[key].name == row.name
            things[key] = replace(things[key], critical=row.critical)
    folder.close()
    return Furnished(path, things, keys, ids, another=True)
