from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.store import tags
from app.store.checking.lines import line_problems
from app.store.db.clock import new_id
from app.store.intake import intake, lines
from app.store.intake.entries import StoredPicture
from app.store.intake.quarantine import decide, quarantined
from app.store.plan.deleted_steps import delete_step
from tests.store.garage import NOW, Garage, fresh_garage

CODE, OTHER, THIRD = "7K3F9QQ", "2222228", "444444F"
PICTURE = StoredPicture("a" * 64, 800, 600)


def give(garage: Garage, code: str) -> str:
    """Return the item that a code was given to."""
    return str(garage.receive(garage.capture(code=code)).body["found"][0]["subject"])


def make_void(garage: Garage, code: str) -> None:
    with garage.database.unit_of_work() as session:
        tags.make_void(session, code, garage.about(f"tag:{code}", "void", {}), build_id=garage.build, now=NOW)


def test_the_same_entry_gets_the_same_answer_and_lands_once(garage: Garage) -> None:
    entry = garage.capture(code=CODE)
    first = garage.receive(entry)
    rows = garage.rows()

    assert [garage.receive(entry) for _ in range(3)] == [first] * 3
    assert garage.rows() == rows
    assert (first.status, rows["item"], rows["receipt"]) == (200, 1, 1)


def test_another_body_under_the_same_number_is_refused_and_writes_nothing(garage: Garage) -> None:
    entry = garage.capture(code=CODE)
    garage.receive(entry)
    rows = garage.rows()

    answer = garage.receive(entry | {"code": OTHER})

    assert (answer.status, answer.body["code"]) == (409, "other-body")
    assert garage.receive(entry, picture=PICTURE).status == 409
    assert garage.rows() == rows


def test_what_was_refused_can_be_sent_again_put_right(garage: Garage) -> None:
    entry = garage.capture(code=CODE, kind="gadget")

    assert garage.receive(entry).status == 422
    assert garage.receive(entry | {"kind": "part"}).status == 200


def test_a_receipt_is_found_by_its_number_alone(garage: Garage) -> None:
    entry = garage.capture(code=CODE)
    answer = garage.receive(entry)
    with garage.database.reading() as session:
        assert intake.receipt_by_id(session, entry["id"]) == answer
        assert intake.receipt_by_id(session, new_id()) is None
        assert intake.receipt_by_id(session, "\ud800") is None


def test_a_step_deleted_meanwhile_does_not_lose_the_item(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        delete_step(session, garage.steps[0], writer=garage.writer, now=NOW)
    entry = garage.capture(code=CODE, step=garage.steps[0], zone=new_id())

    assert garage.receive(entry).status == 200
    it = garage.entry(entry["item"])
    assert (it.item.step, it.item.zone, it.is_open) == ("", "", True)


HEX = "0" * 32
HALF = "\ud800"
Wrong = tuple[str, dict[str, Any]]


def fields(code: str, key: str, *bad: Any) -> list[Wrong]:
    """Entries with one field wrong, and the code they are refused with."""
    return [(code, {key: each}) for each in bad]


UNKNOWN_LINES = [
    *fields("", "body", None, 7, "off", [], [{}], {"act": "off", "heat": 40}),
    *fields("", "after", None, 7, HEX, {}),
    *fields("", "verb", None, 7, "", "drop", "add", "edit", "give", "void", "photo", "treat", [], {}),
    *fields("", "subject", f"engine:{HEX}", f"tag:{HEX}"),
    *fields("", "type", "video", 7),
    *fields("", "heat", 40),
]
"""What no release has sent: a newer page might."""


@pytest.mark.parametrize("unknown", [wrong for _, wrong in UNKNOWN_LINES])
def test_an_unknown_form_is_kept_for_the_owner_and_changes_nothing(
    garage: Garage, unknown: dict[str, Any]
) -> None:
    subject = give(garage, CODE)
    rows = garage.rows()
    entry = garage.line(subject, act="off") | unknown

    answer = garage.receive(entry)

    assert (answer.status, garage.receive(entry)) == (202, answer)
    assert answer.body["quarantined"]
    assert garage.rows() == rows | {
        "quarantine": rows["quarantine"] + 1, "receipt": rows["receipt"] + 1
    }  # fmt: skip
    with garage.database.unit_of_work() as session:
        (waiting,) = quarantined(session)
        assert (waiting.why, waiting.body) == ("unknown form", entry)
        tried = decide(session, waiting.id, take_in=True, owner=garage.ada, now=NOW)
        assert tried is not None
        assert tried.body["problem"]
        assert quarantined(session) == (waiting,)


def test_an_unknown_form_lands_once_a_newer_program_knows_it(
    garage: Garage, monkeypatch: pytest.MonkeyPatch
) -> None:
    subject = give(garage, CODE)
    item_id = subject.partition(":")[2]
    entry = garage.line(subject, act="seated", after=garage.entry(item_id).state.tips)
    with monkeypatch.context() as older:
        older.setattr(lines, "PHONE_VERBS", frozenset({"undo"}))
        assert garage.receive(entry).status == 202

    with garage.database.unit_of_work() as session:
        answer = decide(session, entry["id"], take_in=True, owner=garage.ada, now=NOW)

    assert answer is not None
    assert answer.status == 200
    assert garage.entry(item_id).state_key == "seated"


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


ANYTHING: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(st.characters(), max_size=9),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)


@given(st.data())
@settings(max_examples=25)
def test_whatever_a_phone_sends_is_answered_and_leaves_the_states_true(
    template: Any, data: st.DataObject
) -> None:
    with fresh_garage(template) as garage:
        item_id = new_id()
        garage.add(Item(item_id, 0, Kind.CONNECTION))
        for _ in range(8):
            entry = data.draw(
                st.sampled_from([garage.capture(code=CODE), garage.line(f"item:{item_id}", act="off")])
            )
            key = data.draw(st.sampled_from(sorted(entry)))
            rows = garage.rows()
            changed = entry | {key: data.draw(ANYTHING)}
            if isinstance(entry.get("body"), dict) and data.draw(st.booleans()):
                field = data.draw(
                    st.sampled_from(["act", "pos", "stage", "piece", "destiny", "place", "line"])
                )
                changed = entry | {"body": entry["body"] | {field: data.draw(ANYTHING)}}

            answer = garage.receive(changed)

            assert answer.status in {200, 202, 409, 422}
            if answer.status == 202:
                assert garage.rows() == rows | {
                    "quarantine": rows["quarantine"] + 1, "receipt": rows["receipt"] + 1
                }  # fmt: skip
            elif answer.status != 200:
                assert answer.body["problem"]
                assert garage.rows() == rows
        garage.now()
        with garage.database.reading() as session:
            assert list(line_problems(session)) == []
