"""The values that were reached, row by row."""

from typing import Any

from app.core.items.items import Fastener
from app.core.items.kinds import Act, Kind
from app.core.tightening.reached_rows import ReachedRow, reached_rows
from tests.core.items.lines import mark, say
from tests.core.ledger.standing import Stands, item, stands

GROUP = Fastener(
    torque="rear 40 N·m", torque_print="Front 30 N·m, rear 40 N·m", torque_read="40 N·m",
    torque_source="book, p. 3", torque_note="cold", one_time="no",
)  # fmt: skip


def tight(*lines: dict[str, Any], n: int = 2) -> Stands:
    told = tuple(mark(f"t{at}", Act.TIGHT, after=["0"], **line) for at, line in enumerate(lines))
    return stands(item(Kind.FASTENER, detail=GROUP, n=n), Act.OFF, lines=told)


def test_a_row_says_the_print_its_reading_what_was_reached_with_what_and_by_whom() -> None:
    (row,) = reached_rows([tight({"told": "clicked", "reached": "40 N·m", "wrench": "Long"})])

    assert row == ReachedRow(
        1, "a fastener", "Front 30 N·m, rear 40 N·m", "rear 40 N·m", "40 N·m", False, "book, p. 3", "cold",
        (), "clicked at 40 N·m", "Long", "Ada", "t0",
    )  # fmt: skip


def test_bolts_that_were_tightened_otherwise_have_a_row_of_their_own() -> None:
    first, second = reached_rows(
        [tight({"pos": [1], "reached": "40 N·m"}, {"pos": [2], "told": "by feel", "reached": "by feel"})]
    )

    assert (first.holes, first.reached) == ((1,), "40 N·m")
    assert (second.holes, second.reached) == ((2,), "by feel")


def test_what_is_not_tight_has_no_row_and_a_tight_one_without_a_value_says_so() -> None:
    assert reached_rows([tight(), stands(item(Kind.PART), Act.OFF)]) == ()
    (row,) = reached_rows([tight({})])
    assert row.reached == "tight, no value noted"


def test_a_reading_that_nobody_confirmed_is_not_shown_as_sure() -> None:
    plain = Fastener(torque="25 N·m", one_time="no")
    least = Fastener(torque="min. 25 N·m", torque_read="min. 25 N·m", one_time="no")
    rows = reached_rows(
        stands(item(Kind.FASTENER, detail=each), Act.OFF, Act.TIGHT) for each in (plain, least)
    )

    assert [row.confirmed for row in rows] == [True, False]


def test_a_hole_that_stays_empty_was_not_tightened() -> None:
    spare = say("s", "count", {"piece": "spare", "pos": [2]}, after=["t0"])
    told = mark("t0", Act.TIGHT, after=["0"], reached="40 N·m")
    group = stands(item(Kind.FASTENER, detail=GROUP, n=2), Act.OFF, lines=(told, spare))

    assert [row.holes for row in reached_rows([group])] == [(1,)]
