"""The demo: an invented build, half taken off and partly on its way back, read from `seed_data/demo`."""

import json
import secrets
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.items.bodies.papers import AddPhoto
from app.core.items.bodies.plan import AddPlace
from app.core.items.items import RELATIONS, Item, read_detail
from app.core.items.kinds import Kind, opening_act
from app.core.money import Money
from app.core.phases.routes import Route
from app.core.phases.swap import Swap, chosen_swap
from app.core.procurement.outstanding import Outstanding
from app.core.tags import draw_code
from app.core.torque.units import TorqueUnit
from app.core.torque.wrenches import Wrench, WrenchType
from app.store.crew import let_in
from app.store.db.clock import new_id, stamp
from app.store.db.files import bundled
from app.store.db.models import Build, PhotoRow, Place, Shows, Step, Zone
from app.store.demo.drawn_photos import HEIGHT, WIDTH, TagCard, draw_photo
from app.store.demo.writer import Data, DemoWriter
from app.store.folder import Folder
from app.store.intake.entries import derived_id
from app.store.intake.photos import keep_picture
from app.store.journal import append
from app.store.plan.builds import Writer, layout, new_build
from app.store.plan.items import add_item
from app.store.plan.wrenches import Edit, save_wrench
from app.store.procurement import outstanding as procurement
from app.store.tags import give, print_sheet

_TAKEN_OFF = timedelta(days=60)  # before now, when taking off began
_CAME_BACK = timedelta(days=2)  # before now, when putting back began


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A picture on the disk, and the keys of what it shows."""

    sha256: str
    shows: Sequence[str]


def fill_demo(folder: Folder, *, now: datetime, choose: Callable[[str], str] = secrets.choice) -> None:
    """Fill an empty folder with the invented build, all of it or nothing.

    Args:
        folder: Its `name` and `port` stand on the tags.
        now: The time; the build's lines are dated before it.
        choose: Draws the tags' codes, see `draw_code`.
    """
    plan, items, story = _read("build"), _read("items")["items"], _read("story")["lines"]
    codes = _draw_codes(
        [thing["key"] for thing in [*plan["places"], *items] if thing.get("tag", True)], choose
    )
    drawn = _draw_photos(folder, plan, items, codes)
    with folder.database.unit_of_work() as session:
        demo = _begin(session, plan, now)
        _tell_places(demo, plan["places"])
        _fill_drawer(demo, plan["wrenches"])
        for item in items:
            _tell_item(demo, item)
        _tie(demo, items)
        _give_tags(demo, codes)
        _tell_photos(demo, drawn)
        demo.at = now - _CAME_BACK
        for line in story:
            demo.say(line["item"], line["verb"], line["body"], line["by"], blind=line.get("blind", False))
        waiting = _read("waits")
        for line in waiting["lines"]:
            demo.say(line["item"], line["verb"], line["body"], line["by"])
        _write_outstanding(demo, waiting["waits"], now)
        print_sheet(session, **plan["sheet"], name=folder.name, port=folder.port, now=stamp(now))


def _read(name: str) -> dict[str, Any]:
    text = (bundled("seed_data") / "demo" / f"{name}.json").read_text(encoding="utf-8")
    return json.loads(text)  # type: ignore[no-any-return] # an object, by the data's own test


def _draw_codes(keys: Sequence[str], choose: Callable[[str], str]) -> dict[str, str]:
    """Return one code for each key, no code twice."""
    codes: dict[str, None] = {}
    while len(codes) < len(keys):
        codes[draw_code(choose)] = None
    return dict(zip(keys, codes, strict=True))


def _draw_photos(folder: Folder, plan: Data, items: Sequence[Data], codes: Mapping[str, str]) -> list[_Drawn]:
    """Draw and keep the pictures, before anything is written: of items, of zones, and some for the tray."""

    def keep(subject: str, words: str, shows: Sequence[str], code: str = "") -> None:
        card = TagCard(folder.name, folder.port, code) if code else None
        picture = draw_photo(subject, variety=len(drawn), words=words, card=card)
        drawn.append(_Drawn(keep_picture(folder.photos, picture), shows))

    drawn: list[_Drawn] = []
    for item in items:
        if "photo" in item:
            shows = [item["key"], *item.get("holds", ())]
            keep(item["photo"], item["name"] or "not described yet", shows, codes.get(item["key"], ""))
    for zone, subject in plan["zone_photos"].items():
        keep(subject, f"before, {zone.replace('_', ' ')}", [f"zone {zone}"])
    for subject in plan["tray_photos"]:
        keep(subject, "no tag in the frame", [])
    return drawn


def _begin(session: Session, plan: Data, now: datetime) -> DemoWriter:
    """Let the crew in and make the build."""
    start = now - _TAKEN_OFF
    crew: dict[str, Writer] = {}
    for one in plan["crew"]:
        device, _ = let_in(session, name=one["name"], label=one["device"], role=one["role"], now=start)
        crew[one["name"]] = Writer(device.person_id, device.id)
    build = new_build(
        session,
        title=plan["title"],
        vehicle=plan["vehicle"],
        layout_key=plan["layout"],
        units=plan["units"],
        dialect=plan["words"],
        writer=next(iter(crew.values())),
        now=stamp(start),
        without=plan["without_steps"],
        swap=_swap(plan["swap"]),
    )
    session.flush()
    demo = DemoWriter(session, build.id, start, crew, _steps(session, build, plan["without_steps"]))
    zones = session.scalars(select(Zone).where(Zone.build_id == build.id))
    demo.subjects |= {f"zone {zone.key}": f"zone:{zone.id}" for zone in zones}
    return demo


def _swap(said: Data) -> Swap:
    out, back = Route(said["out"]), Route(said["back"])
    return chosen_swap(out, back, new_engine=said["new_engine"], gearbox=said["gearbox"])


def _fill_drawer(demo: DemoWriter, wrenches: Sequence[Data]) -> None:
    """Put the wrenches into the drawer.

    Raises:
        ValueError: The data says something that a wrench cannot have.
    """
    for data in wrenches:
        wrench = Wrench(
            data["name"],
            Decimal(data["low"]),
            Decimal(data["high"]),
            TorqueUnit(data["unit"]),
            Decimal(data["graduation"]),
            WrenchType(data["type"]),
            data.get("lever_mm", 0.0),
            demo.at.date(),
        )
        change = Edit(demo.crew[demo.first], stamp(demo.at))
        problems = save_wrench(demo.session, wrench, change, today=demo.at.date())
        if problems:
            raise ValueError(problems[0].message)


def _steps(session: Session, build: Build, without: Sequence[str]) -> dict[str, str]:
    """Return the id of each starter step by the layout's key: the rows keep the order, not the keys."""
    ids = session.scalars(select(Step.id).where(Step.build_id == build.id).order_by(Step.position))
    keys = (step["key"] for step in layout(build.layout)["steps"] if step["key"] not in without)
    return dict(zip(keys, ids, strict=True))


def _tell_places(demo: DemoWriter, places: Sequence[Data]) -> None:
    """Make the places, the outer ones first, and put each where it stands."""
    for place in places:
        row = Place(id=new_id(), build_id=demo.build, name=place["name"], parent_id=None)
        demo.session.add(row)
        demo.session.flush()
        demo.subjects[place["key"]] = f"place:{row.id}"
        demo.say(place["key"], "add", AddPlace(name=place["name"], rev=row.rev).stored(), demo.first)
        if place["in"]:
            demo.say(place["key"], "move", {"place": demo.id_of(place["in"])}, demo.first)


def _tell_item(demo: DemoWriter, data: Data) -> None:
    """Bring an item into being: with its opening act, another one, or (`act` null) as still on."""
    kind = Kind(data["kind"])
    item = Item(
        id=new_id(),
        number=0,
        kind=kind,
        name=data["name"],
        step=demo.steps[data["step"]],
        zone=demo.id_of(f"zone {data['zone']}"),
        n=data.get("n"),
        critical=data.get("critical", False),
        owner=data.get("owner", ""),
        note=data.get("note", ""),
        system=data.get("system", ""),
        detail=read_detail(kind, data.get("detail", {})),
    )
    demo.subjects[data["key"]] = f"item:{item.id}"
    act = data.get("act", opening_act(kind).value)
    body = {"kind": kind.value} | ({"act": act} if act else {})
    line = demo.line(f"item:{item.id}", "add", body, data["by"])
    add_item(demo.session, item, line, build_id=demo.build, now=line.at)
    if "place" in data:
        demo.say(data["key"], "move", {"place": demo.id_of(data["place"])}, data["by"])


def _tie(demo: DemoWriter, items: Sequence[Data]) -> None:
    """Write what holds, joins, covers and replaces what.

    Raises:
        ValueError: The data goes round in a cycle.
    """
    for item in items:
        for rel in RELATIONS:
            targets = {demo.id_of(key) for key in item.get(rel, ())}
            if targets and (problem := demo.relate(item["key"], rel, targets)):
                raise ValueError(problem.message)


def _write_outstanding(demo: DemoWriter, waiting: Sequence[Data], now: datetime) -> None:
    """Write what the work waits for; days count from now, by the journal's calendar.

    Raises:
        ValueError: Something about one of them is wrong.
    """
    for data in waiting:
        item = demo.id_of(data["item"])
        since, due = (
            now.date() + timedelta(days=data[key]) if key in data else None for key in ("since", "due")
        )
        thing = Outstanding(
            derived_id(item, "get", data["need"]) if data["need"] == "fluid" else new_id(),
            f"item:{item}" if item else f"build:{demo.build}",
            data["category"],
            data["need"],
            data["what"],
            data.get("at_whom", ""),
            since,
            due,
            Money(data["price_minor"], "EUR") if "price_minor" in data else None,
            data.get("count", 1),
        )
        written = procurement.Edit(demo.crew[demo.first], stamp(demo.at), since or now.date())
        if problems := procurement.save_outstanding(
            demo.session, thing, written, build_id=demo.build, currency="EUR"
        ):
            raise ValueError(problems[0].message)


def _give_tags(demo: DemoWriter, codes: Mapping[str, str]) -> None:
    for key, code in codes.items():
        subject = demo.subjects[key]
        line = demo.line(f"tag:{code}", "give", {"to": subject}, demo.first)
        give(demo.session, code, subject, line, build_id=demo.build, now=line.at)


def _tell_photos(demo: DemoWriter, drawn: Sequence[_Drawn]) -> None:
    for picture in drawn:
        photo_id = new_id()
        shows = [demo.subjects[key] for key in picture.shows]
        body = AddPhoto(sha256=picture.sha256, shows=tuple(shows), width=WIDTH, height=HEIGHT)
        line = demo.line(f"photo:{photo_id}", body.VERB, body.stored(), demo.first)
        append(demo.session, line, build_id=demo.build, now=line.at)
        demo.session.add(
            PhotoRow(
                id=photo_id,
                build_id=demo.build,
                sha256=picture.sha256,
                width=WIDTH,
                height=HEIGHT,
                line_id=line.id,
                at=line.at,
            )
        )
        demo.session.flush()
        demo.session.add_all(Shows(photo_id=photo_id, subject=subject) for subject in shows)
