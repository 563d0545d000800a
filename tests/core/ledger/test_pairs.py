"""Both halves of a connection."""

import pytest

from app.core.items.items import Connection, End
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.ledger.ledger import next_act
from app.core.ledger.pairs import Half, half_problem, read_half
from app.core.problem import Problem
from tests.core.items.lines import mark
from tests.core.ledger.standing import Stands, item, known, stands

CODE, OTHER = "6MXVT4B", "7K3F9QQ"
THREE = item(
    Kind.CONNECTION,
    "3",
    name="Injector plug, cylinder 3",
    detail=Connection(
        ends=(End("A", "harness", "part"), End("B", "injector 3", "old engine")), both_halves=True
    ),
)
FOUR = item(Kind.CONNECTION, "4", name="Injector plug, cylinder 4")


@pytest.mark.parametrize(
    ("typed", "half"),
    [
        ("6MXVT4B", Half(CODE)),
        ("6mx-vt4b", Half(CODE)),
        ("6MXVT4B/A", Half(CODE, "A")),
        ("6mxvt4b b", Half(CODE, "B")),
        ("6MX-VT4B-B", Half(CODE, "B")),
        ("6MXVT4BB", Half(CODE, "B")),
        ("http://GARAGE.LOCAL:8765/T/6MXVT4B/B", Half(CODE, "B")),
        ("http://GARAGE.LOCAL:8765/T/6MXVT4B", Half(CODE)),
    ],
)
def test_a_half_is_read_as_it_is_typed_or_scanned(typed: str, half: Half) -> None:
    assert read_half(typed) == half


def test_what_is_no_code_is_said_so_at_its_field() -> None:
    found = read_half("6MXVT4C")
    assert isinstance(found, Problem)
    assert found.where == "via"


def test_a_wrong_partner_is_refused_and_the_right_one_named() -> None:
    found = half_problem(THREE, [CODE], Half(OTHER, "B"), "A", FOUR)
    assert found
    assert found.message == (
        "That is half B of #4 Injector plug, cylinder 4; this is #3 Injector plug, cylinder 3: "
        "its partner is half B, injector 3 (6MX-VT4B)."
    )


def test_a_code_that_nothing_has_is_refused_and_the_right_one_named() -> None:
    found = half_problem(THREE, [CODE], Half(OTHER), "A", None)
    assert found
    assert "injector 3 (6MX-VT4B)" in found.message


def test_the_same_half_read_twice_is_not_both() -> None:
    assert half_problem(THREE, [CODE], Half(CODE, "A"), "A", THREE)
    assert half_problem(THREE, [CODE], Half(CODE, "B"), "A", THREE) is None
    assert half_problem(THREE, [CODE], Half(CODE), "A", THREE) is None


def test_a_connection_that_asks_for_both_halves_stays_open_until_the_other_code_was_read() -> None:
    done = [Act.OFF, Act.SEATED, Act.LATCHED, Act.ROUTED]
    assert [reason.code for reason in stands(THREE, *done).reasons] == ["halves-unread"]
    assert next_act(THREE, stands(THREE, *done).state) is Act.LATCHED
    assert stands(item(detail=known(Kind.CONNECTION)), *done).reasons == ()
    with_code = read_then(mark("3", Act.LATCHED, after=["1"], via=CODE), mark("4", Act.ROUTED, after=["3"]))
    assert with_code.reasons == ()


def test_what_was_read_before_it_came_off_again_is_asked_again() -> None:
    again = read_then(
        mark("3", Act.LATCHED, after=["1"], via=CODE),
        mark("4", Act.OFF, after=["3"]),
        mark("5", Act.LATCHED, after=["4"]),
        mark("6", Act.ROUTED, after=["5"]),
    )
    assert [reason.code for reason in again.reasons] == ["halves-unread"]


def read_then(*lines: Line) -> Stands:
    return stands(THREE, Act.OFF, Act.SEATED, lines=lines)
