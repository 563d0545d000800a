from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.store import crew, tags
from app.store.crew import Visitor
from app.store.db.clock import new_id
from app.store.intake import intake, lines
from app.store.intake.entries import StoredPicture, derived_id
from app.store.intake.quarantine import decide, quarantined
from app.store.journal import check_states
from app.store.plan.builds import delete_step
from tests.store.garage import NOON, NOW, Garage, fresh_garage

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


def test_the_same_entry_gets_the_same_answer_and_lands_once(garage: Garage) -> None:
    entry = garage.capture(code=CODE)
    first = garage.receive(entry)
    rows = garage.rows()

    assert [garage.receive(entry) for _ in range(3)] == [first] * 3
    assert garage.rows() == rows
    assert (first.status, rows["item"], rows["receipt"]) == (200, 1, 1)


def test_the_same_line_lands_once(garage: Garage) -> None:
    subject = give(garage, CODE)
    entry = garage.line(subject, act="seated")
    garage.receive(entry)

    assert garage.receive(entry).status == 200
    assert garage.ask("SELECT count(*) FROM journal WHERE verb = 'mark'") == [(1,)]


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


def test_a_blank_tag_becomes_an_item_that_is_off_with_what_carries_over(garage: Garage) -> None:
    code = blank(garage)
    entry = garage.capture(code=code, kind="part")

    found = garage.receive(entry, picture=PICTURE).body["found"]

    it = garage.entry(entry["item"])
    assert found == [
        {"code": code, "state": "new", "subject": it.subject, "number": 1, "name": "", "kind": "part"}
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


def test_a_photo_taken_on_a_card_belongs_to_its_item(garage: Garage) -> None:
    subject = give(garage, CODE)

    answer = garage.receive(garage.capture(subject=subject), picture=PICTURE)

    assert (answer.body["tray"], len(garage.now().photos[subject])) == (False, 1)


def test_an_entry_of_a_phone_that_was_shut_out_is_put_aside_and_changes_nothing(garage: Garage) -> None:
    subject = give(garage, CODE)
    rows = garage.rows()
    with garage.database.unit_of_work() as session:
        device, key = crew.let_in(session, name="Ben", label="phone", role="helper", now=NOON)
        crew.shut_out(session, device.id, NOON)
        ben = crew.visitor_by_key(session, key)
    assert isinstance(ben, Visitor)
    entry = garage.line(subject, act="seated")

    answers = [garage.receive(entry, by=ben) for _ in range(2)]

    assert (answers[0].status, answers[0]) == (202, answers[1])
    after = garage.rows()
    assert (after["journal"], after["quarantine"]) == (rows["journal"], 1)
    assert garage.entry(subject.partition(":")[2]).state_key == "off"


def test_a_line_of_an_item_that_has_not_come_is_kept_and_counts_once_it_is_there(garage: Garage) -> None:
    entry = garage.capture(code=CODE)
    add_line = derived_id(entry["id"], entry["item"], "add")
    early = garage.line(f"item:{entry['item']}", act="seated", after=(add_line,))

    assert garage.receive(early).status == 200
    assert garage.now().entries.keys().isdisjoint({entry["item"]})

    garage.receive(entry)

    assert garage.entry(entry["item"]).state_key == "seated"
    assert garage.entry(entry["item"]).state.pending == ()
    with garage.database.reading() as session:
        assert check_states(session) == ()


def test_a_line_whose_parent_is_missing_keeps_the_item_open_until_it_comes(garage: Garage) -> None:
    subject = give(garage, CODE)
    first, second = garage.line(subject, act="routed"), garage.line(subject, act="checked")
    first["after"] = list(garage.entry(subject.partition(":")[2]).state.tips)
    second["after"] = [first["id"]]

    garage.receive(second)
    assert [r.code for r in garage.entry(subject.partition(":")[2]).reasons] == ["line-missing", "off"]

    garage.receive(first)
    assert garage.entry(subject.partition(":")[2]).reasons == ()


def test_a_step_deleted_meanwhile_does_not_lose_the_item(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        assert delete_step(session, garage.steps[0], writer=garage.writer, now=NOW) is None
    entry = garage.capture(code=CODE, step=garage.steps[0], zone=new_id())

    assert garage.receive(entry).status == 200
    it = garage.entry(entry["item"])
    assert (it.item.step, it.item.zone, it.is_open) == ("", "", True)


def test_the_person_named_did_it_and_an_unknown_one_falls_back_to_the_phones_own(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        ben = crew.person_named(session, "Ben").id
    subject = give(garage, CODE)
    for person in (ben, new_id()):
        garage.receive(garage.line(subject, act="seated") | {"person": person})

    assert garage.ask("SELECT person, device FROM journal WHERE verb = 'mark' ORDER BY seq") == [
        (ben, garage.ada.device),
        (garage.ada.person, garage.ada.device),
    ]


def test_what_breaks_a_rule_of_the_trade_is_kept(garage: Garage) -> None:
    subject = give(garage, CODE)

    assert garage.receive(garage.line(subject, act="checked")).status == 200
    assert garage.receive(garage.line(subject, act="routed", pos=[999])).status == 200


HEX = "0" * 32
HALF = "\ud800"
Wrong = tuple[str, dict[str, Any]]


def fields(code: str, key: str, *bad: Any) -> list[Wrong]:
    """Entries with one field wrong, and the code they are refused with."""
    return [(code, {key: each}) for each in bad]


def bodies(verb: str, key: str, *bad: Any) -> list[Wrong]:
    """Lines with one field of the body wrong."""
    plain = {"act": "off"} if verb == "mark" else {}
    return [("body", {"verb": verb, "body": {**plain, key: each}}) for each in bad]


BAD_LINES = [
    *fields("id", "id", None, 7, "", "x", "A" * 32, HEX + "0", [], {}, HALF),
    *fields("build", "build", None, 7, "", HEX, [], {}),
    *fields("form", "after", ["x"], [None], [[HEX]], [7]),
    *fields("subject", "subject", None, 7, "", "item:", "item:7", HEX, [], {}),
    *fields("body", "body", {}, {"pos": [1]}),
    *fields("text", "at", HALF),
    *fields("text", "build", HALF),
    *fields("text", "body", {"act": "off", "x": [HALF]}, {"act": "off", HALF: 1}),
    *bodies("mark", "act", None, 7, "", "glued", "tight", [], {}, ["off"], True),
    *bodies("mark", "pos", None, 0, [], [0], [1000], ["1"], [True], {}, [[]]),
    *bodies("mark", "stage", None, "1", 1.5, [], {}, True, -1, 10**6),
    *bodies("mark", "reached", "9" * 81),
    *bodies("count", "piece", None, 7, "eaten", [], {}, ["lost"]),
    *bodies("dispose", "destiny", None, 7, "moon", [], {}),
    *bodies("fate", "fate", None, 7, "moon", [], {}),
    *bodies("move", "place", None, 7, "shed", [], {}, [HEX]),
    *bodies("undo", "line", None, 7, [], {}, "x"),
    *bodies("undo", "reason", "no line"),
    *bodies("settle", "reason", "nothing is settled"),
]

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


@pytest.mark.parametrize(("code", "wrong"), BAD_LINES)
def test_a_line_that_cannot_be_read_is_told_so_and_writes_nothing(
    garage: Garage, code: str, wrong: dict[str, Any]
) -> None:
    subject = give(garage, CODE)
    rows = garage.rows()

    answer = garage.receive(garage.line(subject, act="off") | wrong)

    assert (answer.status, answer.body["code"]) == (422, code)
    assert answer.body["problem"]
    assert garage.rows() == rows


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


ANYTHING: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(st.characters(), max_size=9),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)


@given(st.data())
@settings(max_examples=25, deadline=None)
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
            assert check_states(session) == ()
