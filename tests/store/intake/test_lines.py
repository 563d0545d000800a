from typing import Any

import pytest

from app.store.checking.lines import line_problems
from app.store.intake.entries import derived_id
from tests.store.garage import Garage

CODE, OTHER, THIRD = "7K3F9QQ", "2222228", "444444F"


def give(garage: Garage, code: str) -> str:
    """Return the item that a code was given to."""
    return str(garage.receive(garage.capture(code=code)).body["found"][0]["subject"])


def test_the_same_line_lands_once(garage: Garage) -> None:
    subject = give(garage, CODE)
    entry = garage.line(subject, act="seated")
    garage.receive(entry)

    assert garage.receive(entry).status == 200
    assert garage.ask("SELECT count(*) FROM journal WHERE verb = 'mark'") == [(1,)]


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
        assert list(line_problems(session)) == []


def test_a_line_whose_parent_is_missing_keeps_the_item_open_until_it_comes(garage: Garage) -> None:
    subject = give(garage, CODE)
    first, second = garage.line(subject, act="routed"), garage.line(subject, act="checked")
    first["after"] = list(garage.entry(subject.partition(":")[2]).state.tips)
    second["after"] = [first["id"]]

    garage.receive(second)
    assert [r.code for r in garage.entry(subject.partition(":")[2]).reasons] == ["line-missing", "off"]

    garage.receive(first)
    assert garage.entry(subject.partition(":")[2]).reasons == ()


def test_what_breaks_a_rule_of_the_trade_is_kept(garage: Garage) -> None:
    subject = give(garage, CODE)

    assert garage.receive(garage.line(subject, act="checked")).status == 200
    assert garage.receive(garage.line(subject, act="routed", pos=[999])).status == 200


HEX = "0" * 32


HALF = "\ud800"


def fields(code: str, key: str, *bad: Any) -> list[tuple[str, dict[str, Any]]]:
    """Entries with one field wrong, and the code they are refused with."""
    return [(code, {key: each}) for each in bad]


def bodies(verb: str, key: str, *bad: Any) -> list[tuple[str, dict[str, Any]]]:
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
