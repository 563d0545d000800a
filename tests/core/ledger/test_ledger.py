from typing import Any

import pytest
from hypothesis import given, settings

from app.core.items.items import DETAIL, Detail, Fastener, Fluid, Item
from app.core.items.journal import Line
from app.core.items.kinds import BESIDE, ITEM_KINDS, LADDER, Act, Kind, opening_act
from app.core.items.state import ItemState, fold
from app.core.ledger.ledger import Reason, count_pieces, has_begun, needs, next_act, why_open, word, work_act
from tests.core.items.lines import mark, say, three_phones

DRY = Fluid()
TO_BLEED = Fluid(bleeds=True)
PRINTED = Fastener(torque="25 N·m")


def item(kind: Kind, *, n: int = 1, critical: bool = False, detail: Detail | None = None) -> Item:
    known = PRINTED if kind is Kind.FASTENER else TO_BLEED if kind is Kind.FLUID else None
    plain = DETAIL[kind]() if kind is not Kind.STEP else DETAIL[Kind.PART]()
    return Item("1", 1, kind, n=n, critical=critical, detail=detail or known or plain)


def state(it: Item, *lines: Line) -> ItemState:
    return fold(it.kind, it.positions, lines, work=work_act(it))


def after(it: Item, *acts: Act, destiny: str = "", piece: str = "") -> ItemState:
    """Ada does one act after the other; Ben looks."""
    lines = [
        mark(f"{i}", act, after=[f"{i - 1}"] if i else [], person="Ben" if act is Act.CHECKED else "Ada")
        for i, act in enumerate(acts)
    ]
    told: dict[str, Any] = {"destiny": destiny} if destiny else {"piece": piece} if piece else {}
    verb = "dispose" if destiny else "count"
    return state(it, *lines, *([say("t", verb, told)] if told else []))


def codes(it: Item, seen: ItemState) -> list[str]:
    return [reason.code for reason in why_open(it, seen)]


WORK = {
    Kind.CONNECTION: Act.ROUTED,
    Kind.FASTENER: Act.TIGHT,
    Kind.PART: Act.PLACED,
    Kind.LOCATOR: Act.COUNTED_IN,
    Kind.TEMPORARY: Act.OUT,
    Kind.FLUID: Act.BLED,
    Kind.FINDING: Act.DECIDED,
    Kind.STEP: Act.DONE,
}
BELOW = [
    *[
        (kind, act)
        for kind in ITEM_KINDS
        for act in LADDER[kind]
        if LADDER[kind].index(act) < LADDER[kind].index(WORK[kind])
    ],
    *[(kind, act) for kind in ITEM_KINDS for act in BESIDE[kind] if act is not Act.UNUSED],
]
LOOKED_AT = [kind for kind in Kind if kind not in {Kind.TEMPORARY, Kind.FINDING}]


@pytest.mark.parametrize("critical", [False, True], ids=["plain", "critical"])
@pytest.mark.parametrize(("kind", "act"), BELOW)
def test_an_item_is_open_below_its_last_rung_and_the_reason_is_where_it_stands(
    kind: Kind, act: Act, *, critical: bool
) -> None:
    it = item(kind, critical=critical)

    assert why_open(it, after(it, act)) == (Reason(act.value.replace("_", "-"), (1,)),)


@pytest.mark.parametrize("kind", list(Kind))
def test_an_item_closes_at_the_last_rung_of_its_work(kind: Kind) -> None:
    it = item(kind)

    assert needs(it) is WORK[kind]
    assert why_open(it, after(it, WORK[kind])) == ()


@pytest.mark.parametrize("kind", LOOKED_AT)
def test_a_critical_item_stays_open_until_another_has_looked(kind: Kind) -> None:
    it = item(kind, critical=True)

    assert codes(it, after(it, WORK[kind])) == ["second-look"]
    assert codes(it, after(it, WORK[kind], Act.CHECKED)) == []
    own = (mark("a", WORK[kind]), mark("b", Act.CHECKED, after=["a"]))
    assert codes(it, state(it, *own)) == ["own-look"]


@pytest.mark.parametrize("kind", [Kind.TEMPORARY, Kind.FINDING])
def test_a_kind_without_a_second_look_closes_with_its_work_also_when_critical(kind: Kind) -> None:
    it = item(kind, critical=True)

    assert codes(it, after(it, WORK[kind])) == []


@pytest.mark.parametrize("kind", ITEM_KINDS)
def test_what_was_never_touched_is_not_open(kind: Kind) -> None:
    it = item(kind)

    assert (why_open(it, state(it)), word(it, state(it))) == ((), "on")


def test_a_step_of_the_way_back_is_open_until_it_is_done() -> None:
    it = item(Kind.STEP)

    assert codes(it, state(it)) == ["not-done"]


@pytest.mark.parametrize("kind", [kind for kind in ITEM_KINDS if Act.UNUSED in BESIDE[kind]])
def test_an_unused_one_is_closed(kind: Kind) -> None:
    it = item(kind, critical=True)

    assert (codes(it, after(it, Act.UNUSED)), word(it, after(it, Act.UNUSED))) == ([], "unused")


def test_a_fluid_that_is_not_bled_closes_when_filled() -> None:
    assert codes(item(Kind.FLUID, detail=DRY), after(item(Kind.FLUID, detail=DRY), Act.FILLED)) == []
    it = item(Kind.FLUID, detail=DRY, critical=True)
    assert codes(it, after(it, Act.FILLED)) == ["second-look"]
    assert codes(it, after(it, Act.FILLED, Act.CHECKED)) == []


@pytest.mark.parametrize(
    ("destiny", "expected"),
    [
        ("refit", ["off"]),
        ("transfer", ["off"]),
        ("left_out", []),
        ("stays_on_old", []),
        ("undecided", ["undecided"]),
        ("replaced", ["fate-unsaid"]),
    ],
)
def test_the_destiny_decides_whether_what_came_off_is_open(destiny: str, expected: list[str]) -> None:
    it = item(Kind.PART)

    assert codes(it, after(it, Act.OFF, destiny=destiny)) == expected


def test_what_is_placed_while_undecided_stays_open() -> None:
    it = item(Kind.PART)

    assert codes(it, after(it, Act.OFF, Act.PLACED, destiny="undecided")) == ["undecided"]


def test_a_replaced_one_is_open_until_the_fate_of_the_old_is_said() -> None:
    it = item(Kind.PART)
    lines = (mark("a", Act.OFF), say("b", "dispose", {"destiny": "replaced"}))

    assert codes(it, state(it, *lines, say("c", "fate", {"fate": "scrapped"}))) == []
    two = (say("c", "fate", {"fate": "scrapped"}), say("d", "fate", {"fate": "sold"}))
    assert codes(it, state(it, *lines, *two)) == ["disagree", "fate-unsaid"]


def test_a_replaced_one_is_open_until_a_new_one_is_named_in_its_place() -> None:
    it = item(Kind.PART)
    lines = (
        mark("a", Act.OFF),
        say("b", "dispose", {"destiny": "replaced"}),
        say("c", "fate", {"fate": "scrapped"}),
    )
    known = state(it, *lines)

    assert [reason.code for reason in why_open(it, known, succeeded=False)] == ["no-successor"]
    assert why_open(it, known, succeeded=True) == ()
    refit = state(it, mark("a", Act.OFF))
    assert why_open(it, refit, succeeded=False) == why_open(it, refit)


@pytest.mark.parametrize(
    ("kind", "destiny", "reasons"),
    [
        (Kind.TEMPORARY, "left_out", ["fitted"]),
        (Kind.TEMPORARY, "replaced", ["fitted"]),
        (Kind.TEMPORARY, "stays_on_old", []),
        (Kind.TEMPORARY, "undecided", ["undecided"]),
        (Kind.FINDING, "left_out", ["raised"]),
        (Kind.FINDING, "stays_on_old", ["raised"]),
        (Kind.FINDING, "replaced", ["raised"]),
    ],
)
def test_no_destiny_takes_a_rag_out_or_decides_a_finding(
    kind: Kind, destiny: str, reasons: list[str]
) -> None:
    it = item(kind)
    assert codes(it, after(it, opening_act(kind), destiny=destiny)) == reasons


@pytest.mark.parametrize("destiny", ["refit", "left_out", "stays_on_old", "replaced", "undecided"])
def test_two_who_disagree_about_an_act_keep_the_line_open_whatever_its_destiny(destiny: str) -> None:
    it = item(Kind.PART)
    lines = (mark("a", Act.OFF), mark("b", Act.PLACED), say("c", "dispose", {"destiny": destiny}))

    assert Reason("disagree", (1,)) in why_open(it, state(it, *lines))
    assert word(it, state(it, *lines)) == "disagree"


def test_two_who_disagree_about_the_place_keep_the_line_open() -> None:
    it = item(Kind.PART)
    moves = (say("b", "move", {"place": "1"}), say("c", "move", {"place": "2"}))

    assert codes(it, state(it, mark("a", Act.PLACED), *moves)) == ["disagree"]


def test_a_line_that_waits_keeps_the_item_open() -> None:
    it = item(Kind.PART)

    assert codes(it, state(it, mark("a", Act.PLACED), mark("c", Act.OFF, after=["b"]))) == ["line-missing"]


def test_tight_without_a_figure_is_closed_by_the_value_or_by_feel() -> None:
    it = item(Kind.FASTENER, detail=Fastener(no_figure=True))

    assert codes(it, after(it, Act.TIGHT)) == ["no-figure"]
    assert codes(it, state(it, mark("a", Act.TIGHT, reached="by feel"))) == []


def test_a_one_time_fastener_must_be_renewed() -> None:
    it = item(Kind.FASTENER, detail=Fastener(torque="25 N·m", one_time="yes"))

    assert codes(it, after(it, Act.TIGHT)) == ["one-time-old"]
    assert codes(it, after(it, Act.TIGHT, piece="renewed")) == []
    again = item(Kind.FASTENER, detail=Fastener(torque="25 N·m", one_time="no"))
    assert codes(again, after(again, Act.TIGHT)) == []


def test_a_lost_piece_is_open_and_a_spare_one_is_not() -> None:
    it = item(Kind.FASTENER)

    assert codes(it, after(it, Act.OFF, piece="lost")) == ["piece-lost"]
    assert codes(it, after(it, Act.TIGHT, piece="lost")) == ["piece-lost"]
    assert codes(it, after(it, Act.OFF, piece="spare")) == []


def test_a_piece_lost_before_anything_else_was_said_is_open() -> None:
    it = item(Kind.FASTENER)

    assert codes(it, after(it, piece="lost")) == ["piece-lost"]


def test_reasons_name_their_positions() -> None:
    it = item(Kind.FASTENER, n=4)
    seen = state(it, mark("a", Act.OFF), mark("b", Act.HAND_TIGHT, after=["a"], pos=[1, 2]))

    assert why_open(it, seen) == (Reason("hand-tight", (1, 2)), Reason("off", (3, 4)))
    assert word(it, seen) == "off"


@pytest.mark.parametrize("critical", [False, True], ids=["plain", "critical"])
@pytest.mark.parametrize("kind", list(Kind))
def test_the_next_acts_lead_up_the_ladder_to_a_closed_line(kind: Kind, *, critical: bool) -> None:
    it = item(kind, critical=critical)
    done: list[Act] = []
    while act := next_act(it, after(it, *done)):
        done.append(act)

    looks = (Act.CHECKED,) if critical and kind in LOOKED_AT else ()
    rungs = [a for a in LADDER[kind] if a not in {Act.STAGE, Act.CHECKED}]
    assert done == [*rungs, *looks]
    assert why_open(it, after(it, *done)) == ()


def test_stages_are_asked_for_where_there_are_some() -> None:
    it = item(Kind.FASTENER)

    assert next_act(it, after(it, Act.HAND_TIGHT)) is Act.TIGHT
    assert next_act(it, after(it, Act.HAND_TIGHT), stages=2) is Act.STAGE


def test_the_next_act_is_that_of_the_lowest_position() -> None:
    it = item(Kind.FASTENER, n=2)
    seen = state(it, mark("a", Act.OFF), mark("b", Act.TIGHT, after=["a"], pos=[1]))

    assert next_act(it, seen) is Act.PLACED


def test_positions_that_never_came_off_are_not_taken_off_when_the_others_go_back() -> None:
    it = item(Kind.FASTENER, n=4)

    assert next_act(it, state(it, mark("a", Act.OFF, pos=[1, 2]))) is Act.PLACED
    assert next_act(it, state(it, mark("a", Act.TIGHT, pos=[1, 2]))) is None


def test_what_two_disagree_about_has_no_next_act_until_it_is_settled() -> None:
    it = item(Kind.PART)

    assert next_act(it, state(it, mark("a", Act.OFF), mark("b", Act.PLACED))) is None


@pytest.mark.parametrize("kind", ITEM_KINDS)
def test_the_first_act_opens(kind: Kind) -> None:
    assert next_act(item(kind), state(item(kind))) is opening_act(kind)


def test_the_pieces_of_a_group_add_up() -> None:
    it = item(Kind.FASTENER, n=6)
    lines = (
        mark("a", Act.OFF),
        mark("b", Act.TIGHT, after=["a"], pos=[1, 2, 3]),
        say("c", "count", {"piece": "renewed", "pos": [3]}),
        say("d", "count", {"piece": "spare", "pos": [4]}),
        say("e", "count", {"piece": "lost", "pos": [5]}),
    )
    pieces = count_pieces(it, state(it, *lines))

    assert (pieces.out, pieces.fitted, pieces.renewed, pieces.spare, pieces.lost) == (6, 2, 1, 1, 1)
    assert pieces.missing == 1


@given(three_phones())
@settings(max_examples=80)
def test_no_piece_is_counted_twice_and_what_is_missing_keeps_the_line_open(lines: list[Line]) -> None:
    it = item(Kind.FASTENER, n=4)
    seen = state(it, *lines)
    pieces = count_pieces(it, seen)

    assert 0 <= pieces.missing <= pieces.out <= 4
    if pieces.missing and seen.destiny.value != "left_out":
        assert why_open(it, seen)
    if any(position.disagree for position in seen.positions) or seen.pending:
        assert why_open(it, seen)
    assert has_begun(seen) or not pieces.out


def test_a_bolt_used_once_only_is_asked_for_anew_in_the_second_round() -> None:
    it = item(Kind.FASTENER, detail=Fastener(torque="25 N·m", one_time="yes"))
    first = [
        mark("a", Act.OFF),
        say("b", "count", {"piece": "renewed"}, after=["a"]),
        mark("c", Act.TIGHT, after=["b"]),
    ]
    assert codes(it, state(it, *first)) == []
    second = [*first, mark("d", Act.OFF, after=["c"], reason="trial fit"), mark("e", Act.TIGHT, after=["d"])]
    assert codes(it, state(it, *second)) == ["one-time-old"]
    renewed = say("f", "count", {"piece": "renewed"}, after=["e"])
    assert codes(it, state(it, *second, renewed)) == []


def test_whatever_came_off_a_second_time_is_open_until_all_is_done_again() -> None:
    for kind in LOOKED_AT:
        it = item(kind, critical=True)
        acts = (opening_act(kind), WORK[kind], Act.CHECKED)
        again = after(it, *acts, opening_act(kind))
        assert codes(it, again)
        assert codes(it, after(it, *acts, opening_act(kind), WORK[kind])) == ["second-look"]
        assert codes(it, after(it, *acts, *acts)) == []
