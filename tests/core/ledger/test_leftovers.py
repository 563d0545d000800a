"""Pieces out = fitted + spare + lost + renewed."""

from hypothesis import given, settings

from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.items.state import fold
from app.core.ledger.ledger import Pieces
from app.core.ledger.leftovers import leftovers
from tests.core.items.lines import mark, say, three_phones
from tests.core.ledger.standing import Stands, item, stands


def group(*lines: Line, n: int = 4) -> Stands:
    it = item(Kind.FASTENER, n=n)
    return Stands(it, fold(it.kind, it.positions, lines))


def test_a_group_that_adds_up_is_not_left_over_and_counts_in_all() -> None:
    lines = (
        mark("a", Act.OFF),
        say("b", "count", {"piece": "renewed", "pos": [1]}, after=["a"]),
        say("c", "count", {"piece": "spare", "pos": [2]}, after=["b"]),
        say("d", "count", {"piece": "lost", "pos": [3]}, after=["c"]),
        mark("e", Act.TIGHT, after=["d"], pos=[1, 4]),
    )
    found = leftovers([group(*lines)])
    assert found.groups == ()
    assert found.total == Pieces(out=4, fitted=1, renewed=1, spare=1, lost=1)


def test_a_group_that_does_not_add_up_names_its_positions() -> None:
    [found] = leftovers([group(mark("a", Act.OFF), mark("b", Act.TIGHT, after=["a"], pos=[1, 3]))]).groups
    assert (found.pieces.missing, found.unaccounted) == (2, (2, 4))


def test_what_was_never_touched_or_is_left_out_on_purpose_leaves_no_hole() -> None:
    left_out = group(mark("a", Act.OFF), say("b", "dispose", {"destiny": "left_out"}, after=["a"]))
    assert leftovers([group(), left_out, stands(item(Kind.PART), Act.OFF)]).total.out == 0


@settings(max_examples=60)
@given(three_phones())
def test_the_pieces_of_a_group_always_add_up_with_those_still_out(lines: list[Line]) -> None:
    total = leftovers([group(*lines)]).total
    assert total.out == total.fitted + total.renewed + total.spare + total.lost + total.missing
