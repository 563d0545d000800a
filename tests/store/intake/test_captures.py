from typing import Any

import pytest

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.store import tags
from app.store.db.clock import new_id
from app.store.intake.entries import StoredPicture
from app.store.plan.builds import new_build
from app.store.plan.items import add_item
from tests.store.garage import NOW, Garage

CODE, OTHER, THIRD = "7K3F9QQ", "2222228", "444444F"


PICTURE = StoredPicture("a" * 64, 800, 600)


def give(garage: Garage, code: str) -> str:
    """Return the item that a code was given to."""
    return str(garage.receive(garage.capture(code=code)).body["found"][0]["subject"])


def make_void(garage: Garage, code: str) -> None:
    with garage.database.unit_of_work() as session:
        tags.make_void(session, code, garage.about(f"tag:{code}", "void", {}), build_id=garage.build, now=NOW)


def blank(garage: Garage) -> str:
    with garage.database.unit_of_work() as session:
        _, codes = tags.print_sheet(
            session, count=1, grid="a", halves=True, name="garage", port=8765, now=NOW
        )
    return codes[0]


def test_a_blank_tag_becomes_an_item_that_is_off_with_what_carries_over(garage: Garage) -> None:
    code = blank(garage)
    entry = garage.capture(code=code, kind="part")

    found = garage.receive(entry, picture=PICTURE).body["found"]

    it = garage.entry(entry["item"])
    (line,) = it.state.tips
    assert found == [
        {"code": code, "state": "new", "subject": it.subject, "number": 1, "name": "", "kind": "part"}
        | {"line": line}
    ]
    assert (it.state_key, it.item.step, it.item.zone) == ("off", garage.steps[0], garage.zones[0])
    assert garage.now().tags == {it.subject: (code,)}
    assert len(garage.now().photos[it.subject]) == 1


def test_a_valid_code_unknown_here_is_adopted(garage: Garage) -> None:
    assert garage.receive(garage.capture(), codes=(CODE,)).body["found"][0]["state"] == "new"
    assert garage.ask("SELECT code, sheet_id FROM tag") == [(CODE, None)]


def test_a_used_tag_answers_its_item_and_makes_none(garage: Garage) -> None:
    subject = give(garage, CODE)

    answer = garage.receive(garage.capture(code=CODE), picture=PICTURE)

    assert (answer.body["found"][0]["state"], answer.body["found"][0]["subject"]) == ("used", subject)
    assert (garage.rows()["item"], len(garage.now().photos[subject]), answer.body["tray"]) == (1, 1, False)


def test_a_photo_of_what_is_not_off_marks_nothing_and_the_phone_is_told_how_to(garage: Garage) -> None:
    entry = garage.capture(code=CODE, kind="fluid")
    (made,) = garage.receive(entry).body["found"]
    (again,) = garage.receive(garage.capture(code=CODE), picture=PICTURE).body["found"]
    assert "not_off" not in again
    undo = garage.line(made["subject"], "undo", after=(made["line"],), line=made["line"])
    assert garage.receive(undo).status == 200

    (again,) = garage.receive(garage.capture(code=CODE), picture=PICTURE).body["found"]

    assert again["not_off"] == {"act": "drained", "after": [undo["id"]]}
    assert not garage.entry(entry["item"]).begun
    mark = garage.line(made["subject"], after=tuple(again["not_off"]["after"]), act=again["not_off"]["act"])
    garage.receive(mark)
    assert garage.entry(entry["item"]).state_key == "drained"


def test_a_void_tag_says_so_and_its_photo_waits_in_the_tray(garage: Garage) -> None:
    give(garage, CODE)
    make_void(garage, CODE)

    answer = garage.receive(garage.capture(code=CODE), picture=PICTURE)

    assert (answer.body["found"], answer.body["tray"]) == ([{"code": CODE, "state": "void"}], True)
    assert garage.now().tray == (answer.body["photo"],)
    assert garage.rows()["item"] == 1


def test_a_photo_without_a_tag_waits_in_the_tray(garage: Garage) -> None:
    answer = garage.receive(garage.capture(), picture=PICTURE)

    assert (answer.body["found"], answer.body["tray"]) == ([], True)
    assert (garage.now().tray, garage.rows()["item"]) == ((answer.body["photo"],), 0)


def test_a_photo_of_several_tags_shows_several_items(garage: Garage) -> None:
    used = give(garage, CODE)
    entry = garage.capture(kind="part")

    answer = garage.receive(entry, picture=PICTURE, codes=(OTHER, CODE, OTHER, THIRD))

    found = [f["subject"] for f in answer.body["found"]]
    assert [f["state"] for f in answer.body["found"]] == ["new", "used", "new"]
    assert (found[0], found[1], len(set(found))) == (f"item:{entry['item']}", used, 3)
    assert dict(garage.now().photos) == dict.fromkeys(found, (answer.body["photo"],))
    assert [e.item.number for e in garage.now().items] == [1, 2, 3]


def test_a_cap_says_what_it_closes_where_that_is_a_thing_of_this_build(garage: Garage) -> None:
    hose = garage.capture(code=CODE, kind="connection")
    garage.receive(hose)
    cap = garage.capture(code=OTHER, kind="temporary", closes=hose["item"])
    assert garage.receive(cap).status == 200
    stray = garage.capture(code=THIRD, kind="temporary", closes=new_id())
    assert garage.receive(stray).status == 200

    edges = garage.now().edges
    assert [(edge.frm, edge.rel, edge.to) for edge in edges] == [(cap["item"], "closes", hose["item"])]


def test_only_a_cap_or_rag_closes_and_what_is_no_id_is_told(garage: Garage) -> None:
    hose = garage.capture(code=CODE, kind="connection")
    garage.receive(hose)
    assert garage.receive(garage.capture(code=OTHER, kind="part", closes=hose["item"])).status == 200
    assert garage.now().edges == ()
    answer = garage.receive(garage.capture(code=THIRD, kind="temporary", closes="hose"))
    assert (answer.status, answer.body["where"]) == (422, "closes")


def test_a_photo_taken_on_a_card_belongs_to_its_item(garage: Garage) -> None:
    subject = give(garage, CODE)

    answer = garage.receive(garage.capture(subject=subject), picture=PICTURE)

    assert (answer.body["tray"], len(garage.now().photos[subject])) == (False, 1)


HEX = "0" * 32


HALF = "\ud800"


def fields(code: str, key: str, *bad: Any) -> list[tuple[str, dict[str, Any]]]:
    """Entries with one field wrong, and the code they are refused with."""
    return [(code, {key: each}) for each in bad]


BAD_CAPTURES = [
    *fields("build", "build", None, HEX, [], {}),
    *fields("kind", "kind", None, 7, "", "step", "gadget", [], {}),
    *fields("act", "act", 7, "glued", "tight", ["off"], {"a": 1}),
    *fields("item", "item", None, 7, "", "x", [], {}),
    *fields("code", "code", 7, "7K3F9QR", "7K3-F9QQ", "x", ["7K3F9QQ"], {"a": 1}),
    *fields("subject", "subject", 7, "x", "item:7", f"tag:{HEX}", [HEX], {"a": 1}),
    *fields("nothing", "code", None, ""),
    *fields("text", "step", HALF),
]


@pytest.mark.parametrize(("code", "wrong"), BAD_CAPTURES)
def test_a_capture_that_cannot_be_read_is_told_so_and_writes_nothing(
    garage: Garage, code: str, wrong: dict[str, Any]
) -> None:
    rows = garage.rows()

    answer = garage.receive(garage.capture(code=CODE) | wrong)

    assert (answer.status, answer.body["code"]) == (422, code)
    assert garage.rows() == rows


def test_a_finding_that_names_another_builds_item_stands_alone(garage: Garage) -> None:
    theirs = new_id()
    with garage.database.unit_of_work() as session:
        other = new_build(
            session,
            title="Another build",
            vehicle="none",
            layout_key="transverse",
            units="N·m",
            dialect="uk",
            writer=garage.writer,
            now=NOW,
        )
        first = garage.about(f"item:{theirs}", "add", {"kind": "part"})
        add_item(session, Item(theirs, 0, Kind.PART, "Their pump"), first, build_id=other.id, now=NOW)
    entry = garage.capture(kind="finding", about=theirs, what="a crack")

    answer = garage.receive(entry, picture=PICTURE)

    found = garage.entry(entry["item"])
    assert (answer.status, found.item.name, found.item.zone) == (200, "a crack", garage.zones[0])
    assert garage.ask("SELECT rel FROM edge") == []
    assert garage.ask("SELECT subject FROM shows") == [(found.subject,)]
