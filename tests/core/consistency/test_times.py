"""When marks arrived, and within one thing who had seen what."""

from dataclasses import replace

from app.core.consistency.times import times_of
from app.core.items.items import Item
from app.core.items.journal import Line
from tests.core.consistency.scenes import ASKS, BOLTS, found

PAIR = replace(BOLTS, id="pair", n=2)


def test_a_piece_renewed_after_it_was_tight_is_asked_until_it_is_tightened_anew() -> None:
    def counted(line_id: str, after: str) -> Line:
        return Line(line_id, "item:bolts", "count", {"piece": "renewed"}, frozenset({after}), seq=9)

    tight = ["bolts off", "bolts tight"]
    assert found([BOLTS], tight, more={"bolts": [counted("n", "002")]}) == [
        ("renewed-after-tight", ASKS, "bolts", "")
    ]
    assert found([BOLTS], tight, more={"bolts": [counted("n", "001")]}) == []
    again = Line("t", "item:bolts", "mark", {"act": "tight"}, frozenset({"n"}), "Ada", seq=10)
    assert found([BOLTS], tight, more={"bolts": [counted("n", "002"), again]}) == []


def test_a_second_look_that_had_not_seen_the_newest_work_is_asked() -> None:
    said = ["bolts off", "bolts tight", "bolts checked"]
    late = Line("t", "item:bolts", "mark", {"act": "tight"}, frozenset({"002"}), "Cy", seq=4)

    assert found([BOLTS], said) == []
    assert ("checked-before-work", ASKS, "bolts", "") in found([BOLTS], said, more={"bolts": [late]})


def at(*said: str, item: Item = PAIR) -> tuple[int, int, int]:
    """Marks such as "tight 1", each in sight of those before it; the first arrives as 1."""
    lines: list[Line] = []
    for nth, each in enumerate(said, 1):
        act, *positions = each.split()
        body = {"act": act} | ({"pos": list(map(int, positions))} if positions else {})
        after = frozenset({lines[-1].id} if lines else ())
        lines.append(Line(f"{nth}", "item:pair", "mark", body, after, "Ada", seq=nth))
    times = times_of(item, [*reversed(lines), *lines])
    return times.placed, times.worked, times.closed


def test_all_of_it_is_in_position_when_the_last_of_its_positions_is() -> None:
    assert at("off", "placed 1") == (0, 0, 0)
    assert at("off", "placed 1", "placed 2")[0] == 3


def test_worked_is_the_newest_mark_of_what_was_done_first_and_closed_the_first_of_what_was_last() -> None:
    assert at("off", "tight 1", "placed 2") == (3, 0, 0)
    assert at("off", "tight 1", "tight 2") == (3, 2, 3)
    assert at("off", "tight 1", "tight 2", "tight 1") == (3, 3, 3)


def test_what_comes_off_again_begins_anew() -> None:
    assert at("off", "tight", "off") == (0, 0, 0)
    assert at("off", "tight", "off", "tight") == (4, 4, 4)
    assert at("off", "tight", "off 2") == (0, 0, 0)


def test_what_was_never_marked_has_no_times() -> None:
    assert at() == (0, 0, 0)
