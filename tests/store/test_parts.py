from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.items.items import Edge, Item, Part
from app.core.items.kinds import Kind
from app.store import tags
from app.store.db.clock import new_id
from app.store.db.models import Build
from app.store.intake.entries import StoredPicture
from app.store.parts import edges_of, photos_of, places_of, steps_of, tags_of, tray_of, zones_of
from app.store.plan.builds import layout
from app.store.plan.items import set_edges
from app.store.plan.places import add_place
from app.store.plan.steps import move_step
from tests.store.garage import NOW, Garage

CODE, OTHER = "7K3F9QQ", "2222228"


def thing(garage: Garage) -> str:
    item = Item(new_id(), 0, Kind.PART, "Pump", detail=Part())
    garage.add(item)
    return item.id


def test_places_stand_as_a_person_counts_them(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        for name in ("bag 10", "Bag 2", "shelf", "bag 1"):
            add_place(session, garage.build, name, writer=garage.writer, now=NOW)
        found = [place.name for place in places_of(session, garage.build).values()]

    assert found == ["bag 1", "Bag 2", "bag 10", "shelf"]


def test_a_void_tag_is_a_thing_s_no_more(garage: Garage) -> None:
    subject = f"item:{thing(garage)}"
    with garage.database.unit_of_work() as session:
        for code in (CODE, OTHER):
            line = garage.about(f"tag:{code}", "give", {"to": subject})
            assert tags.give(session, code, subject, line, build_id=garage.build, now=NOW)
        assert tags_of(session) == {subject: (OTHER, CODE)}
        assert tags.make_void(
            session, OTHER, garage.about(f"tag:{OTHER}", "void", {}), build_id=garage.build, now=NOW
        )
        assert tags_of(session) == {subject: (CODE,)}


def test_edges_stand_in_the_order_in_which_they_were_said(garage: Garage) -> None:
    a, b, c = thing(garage), thing(garage), thing(garage)
    said = [(c, "holds", a), (a, "covers", b), (c, "joins", b)]
    with garage.database.unit_of_work() as session:
        for frm, rel, to in said:
            set_edges(session, frm, rel, {to}, garage.about(f"item:{frm}", "edit", {}), now=NOW)
        assert edges_of(session, garage.build) == tuple(Edge(*each) for each in said)


def test_a_photo_that_shows_nothing_lies_in_the_tray_and_any_other_with_what_it_shows(garage: Garage) -> None:
    subject = f"item:{thing(garage)}"
    loose = garage.receive(garage.capture(), picture=StoredPicture("a" * 64, 8, 6)).body["photo"]
    shown = garage.receive(garage.capture(subject=subject), picture=StoredPicture("b" * 64, 8, 6)).body[
        "photo"
    ]

    with garage.database.reading() as session:
        assert tray_of(session, garage.build) == (loose,)
        assert photos_of(session, garage.build) == {subject: (shown,)}


def test_steps_stand_in_the_order_of_taking_off(garage: Garage) -> None:
    first, second = garage.steps[:2]
    with garage.database.unit_of_work() as session:
        move_step(session, first, 1, writer=garage.writer, now=NOW)
        session.flush()
        assert [step.id for step in steps_of(session, garage.build)][:2] == [second, first]


def test_zones_are_called_in_the_build_s_dialect(garage: Garage) -> None:
    labels = [zone["label"] for zone in layout("transverse")["zones"]]

    def named(session: Session, dialect: str) -> list[str]:
        build = session.scalars(select(Build)).one()
        build.dialect = dialect
        return [zone.label for zone in zones_of(session, build)]

    with garage.database.unit_of_work() as session:
        assert named(session, "us") == [label["us"] for label in labels]
        assert named(session, "uk") == [label["uk"] for label in labels]
    assert [label["us"] for label in labels] != [label["uk"] for label in labels]
