from typing import Any

import pytest

from app.core.items.bodies.acts import Undo
from app.core.items.bodies.base import Rule
from app.core.items.bodies.plan import ZoneBody
from app.core.items.bodies.rules import (
    ACT,
    EXCEPTION,
    ID,
    ID_OR_NONE,
    KIND,
    LENGTHS,
    LITRES,
    LONGEST_TEXT,
    NUMBER,
    POSITIONS,
    TEXTS,
    WHOLE,
    count,
    many,
    named,
    or_null,
    records,
    text,
    word,
)
from app.core.items.kinds import Act, Kind

HEX = "0" * 32


@pytest.mark.parametrize(
    ("rule", "holds", "does_not"),
    [
        (text(3), ["", "abc"], ["abcd", 7, None]),
        (text(), ["x" * LONGEST_TEXT], ["x" * (LONGEST_TEXT + 1)]),
        (word(("", "spare")), ["", "spare"], ["lost", 0, None, ["spare"]]),
        (count(0, 9), [0, 9], [-1, 10, True, 1.0, "1", None]),
        (ACT, ["off", "tight"], ["glued", "", None, 1]),
        (KIND, ["part"], ["gadget", None]),
        (POSITIONS, [[1], [1, 999]], [[], [0], [1000], [True], [1.0], "1", None]),
        (LENGTHS, ["1-8: 25", ""], ["a: b", 25, None, "1" * (LONGEST_TEXT + 1)]),
        (LITRES, [0.1, 200, 4], [0, -1, 200.1, True, float("nan"), float("inf"), "4", None]),
        (NUMBER, [1, 1.5], [True, "1", None]),
        (WHOLE, [0, -7], [True, 1.5, "1", None]),
        (ID, [HEX], ["", "x", None, HEX.replace("0", "G")]),
        (ID_OR_NONE, [HEX, ""], ["x", None]),
        (EXCEPTION, [["twice", HEX, 1, "so"]], [["twice", HEX, 1], "four", None]),
        (or_null(WHOLE), [None, 7], ["7", True]),
        (TEXTS, [[], ["a"]], ["a", [7], None]),
        (named(TEXTS), [{}, {"holds": ["a"]}], [{"holds": "a"}, {"holds": [7]}, [], None]),
        (records(ZoneBody), [[], [{"id": HEX}]], [[{"id": "x"}], [HEX], {"id": HEX}]),
        (records(Undo), [[{"line": HEX}]], [[{}]]),
    ],
)
def test_a_rule_holds_what_it_names_and_nothing_beside(
    rule: Rule, holds: list[Any], does_not: list[Any]
) -> None:
    assert [value for value in holds if not rule.holds(value)] == []
    assert [value for value in does_not if rule.holds(value)] == []


@pytest.mark.parametrize(
    ("rule", "stored", "read"),
    [
        (ACT, "off", Act.OFF),
        (KIND, "part", Kind.PART),
        (POSITIONS, [2, 1], (2, 1)),
        (EXCEPTION, ["twice", HEX, 1, "so"], ("twice", HEX, 1, "so")),
        (or_null(ACT), None, None),
        (or_null(ACT), "off", Act.OFF),
        (many(or_null(KIND)), ["part", None], (Kind.PART, None)),
        (named(TEXTS), {"holds": ["a", "b"]}, {"holds": ("a", "b")}),
        (records(ZoneBody), [{"id": HEX, "label": "left"}], (ZoneBody(id=HEX, label="left"),)),
    ],
)
def test_what_is_read_has_its_type_and_is_stored_as_it_was(rule: Rule, stored: Any, read: Any) -> None:
    assert rule.read(stored) == read
    assert type(rule.read(stored)) is type(read)
    assert rule.store(read) == stored
