"""The stages of a group, the rungs they make, and what keeps its line open on the way."""

import pytest

from app.core.items.items import Fastener, Item
from app.core.items.kinds import Act, Kind
from app.core.items.state import ItemState, fold
from app.core.ledger.ledger import count_pieces, why_open, work_act
from app.core.tightening.readings import with_reading_kept
from app.core.tightening.stages import rungs_ahead, stage_reached, stages_of
from app.core.wording.items import rung_text
from tests.core.items.lines import mark, say

HEAD = "50 N·m; loosen 1 full turn; 30 N·m; +90°; +90°"


def group(n: int = 2, **detail: object) -> Item:
    written = Fastener(**{"torque": "25 N·m", **detail})  # type: ignore[arg-type] # the tests' own words
    return Item("1", 1, Kind.FASTENER, n=n, detail=with_reading_kept(written))


def folded(item: Item, *lines: object) -> ItemState:
    return fold(item.kind, item.positions, lines, work=work_act(item))  # type: ignore[arg-type] # lines, each of them


def climbed(item: Item, rungs: int) -> ItemState:
    """Return the state after so many rungs, each taken in sight of the one before."""
    lines = [mark("0", Act.OFF)]
    for i in range(1, rungs + 1):
        rung = rungs_ahead(item, folded(item, *lines))[0]
        number = rung.stage.number if rung.stage and rung.act is Act.STAGE else 0
        lines.append(mark(f"{i}", rung.act, after=[f"{i - 1}"], stage=number))
    return folded(item, *lines)


@pytest.mark.parametrize(
    ("torque", "passes", "said"),
    [
        ("25 N·m", 1, ["25 N·m"]),
        ("25 N·m", 3, ["7.5 N·m (30 %)", "17.5 N·m (70 %)", "25 N·m"]),
        (HEAD, 3, ["50 N·m", "loosen 360°", "30 N·m", "+ 90°", "+ 90°"]),
        (
            "125 N·m, discard bolt, new bolt, 125 N·m + 130°",
            1,
            ["125 N·m", "new bolts in", "125 N·m", "+ 130°"],
        ),
        ("turning torque 10 N·m", 1, []),
        ("", 1, []),
        ("tight", 1, []),
    ],
)
def test_the_printed_stages_stand_and_one_figure_is_reached_in_its_passes(
    torque: str, passes: int, said: list[str]
) -> None:
    assert [stage.words for stage in stages_of(Fastener(torque=torque, passes=passes))] == said


def test_every_stage_is_a_rung_of_its_own_between_hand_tight_and_final() -> None:
    item = group(torque=HEAD)
    ahead = rungs_ahead(item, folded(item, mark("0", Act.OFF)))
    assert [(rung.act, rung.stage.number if rung.stage else 0) for rung in ahead] == [
        (Act.PLACED, 0),
        (Act.HAND_TIGHT, 0),
        *((Act.STAGE, n) for n in (1, 2, 3, 4)),
        (Act.TIGHT, 5),
    ]
    assert rung_text(item, ahead[2]) == "stage 1 of 5: 50 N·m"
    assert rung_text(item, ahead[-1]) == "final stage: + 90°, striped"


def test_taking_each_rung_in_turn_leads_to_a_closed_line_and_no_sooner() -> None:
    item = group(torque=HEAD)
    for taken in range(7):
        assert why_open(item, climbed(item, taken)), taken
    assert why_open(item, climbed(item, 7)) == ()
    assert rungs_ahead(item, climbed(item, 7)) == ()


def test_the_next_stage_is_that_of_the_bolt_that_is_least_far() -> None:
    item = group(torque=HEAD)
    seen = folded(
        item,
        mark("a", Act.STAGE, stage=3, pos=[1]),
        mark("b", Act.STAGE, stage=1, pos=[2]),
    )
    following = rungs_ahead(item, seen)[0].stage
    assert following is not None
    assert following.number == 2


def test_stages_past_those_of_a_shortened_text_count_as_all_but_the_last() -> None:
    item = group(torque="20 N·m + 90°")
    assert isinstance(item.detail, Fastener)
    assert stage_reached(item.detail, folded(item, mark("a", Act.STAGE, stage=4))) == 1


def test_a_text_without_stages_goes_from_hand_tight_to_tight() -> None:
    item = group(torque="")
    ahead = rungs_ahead(item, folded(item, mark("a", Act.HAND_TIGHT)))
    assert [(rung.act, rung.stage) for rung in ahead] == [(Act.TIGHT, None)]


def test_an_old_bolt_used_as_a_tool_keeps_the_line_open_until_a_new_one_is_in() -> None:
    item = group(one_time="yes")
    old = folded(item, mark("a", Act.TIGHT, piece="tool"))
    assert [reason.code for reason in why_open(item, old)] == ["old-as-tool"]
    assert count_pieces(item, old).fitted == 2
    new = folded(item, mark("a", Act.TIGHT, piece="tool"), mark("b", Act.TIGHT, after=["a"], piece="renewed"))
    assert why_open(item, new) == ()
    assert count_pieces(item, new).renewed == 2


def test_swapped_lengths_keep_the_line_open_and_name_both_holes() -> None:
    item = group(n=3, lengths="1 2: 25; 3: 45")
    swapped = folded(
        item, mark("a", Act.TIGHT), say("b", "count", {"lengths": "1: 25; 2: 45; 3: 25"}, after=["a"])
    )
    assert [(reason.code, reason.positions) for reason in why_open(item, swapped)] == [
        ("length-wrong", (2, 3))
    ]
    right = folded(item, mark("a", Act.TIGHT), say("b", "count", {"lengths": "1 2: 25; 3: 45"}, after=["a"]))
    assert why_open(item, right) == ()


def test_what_was_acknowledged_keeps_its_name_and_can_be_taken_back() -> None:
    item = group()
    told = say("a", "acknowledge", {"caution": "far-above", "torque": "25 N·m"}, person="Ben")
    (seen,) = folded(item, mark("0", Act.OFF), told).acknowledged
    assert (seen.caution, seen.torque, seen.person) == ("far-above", "25 N·m", "Ben")
    assert folded(item, told, say("b", "undo", {"line": "a"}, after=["a"])).acknowledged == ()


@pytest.mark.parametrize(
    ("printed", "reached", "closed"),
    [
        ("20 N·m + 90°", "90 °", True),
        ("20 N·m + 90°", "85 °", True),
        ("20 N·m + 90°", "84 °", False),
        ("20 N·m + 60-90°", "60 °", True),
        ("20 N·m then 60-90°", "58 °", False),
        ("20 N·m + 90°", "20 N·m", True),
        ("20 N·m", "90 °", False),
    ],
)
def test_a_turn_is_held_against_the_printed_turn(printed: str, reached: str, closed: bool) -> None:
    item = group(torque=printed)
    assert (why_open(item, folded(item, mark("a", Act.TIGHT, reached=reached))) == ()) is closed


def test_only_the_last_stage_is_final() -> None:
    item = group(torque=HEAD)
    assert isinstance(item.detail, Fastener)
    assert [stage.is_final for stage in stages_of(item.detail)][-2:] == [False, True]
    assert sum(stage.is_final for stage in stages_of(item.detail)) == 1


@pytest.mark.parametrize("printed", ["min. 60 N·m", "max. 25 N·m", "30–40 N·m"])
def test_a_limit_stays_in_what_a_stage_says(printed: str) -> None:
    assert [stage.words for stage in stages_of(Fastener(torque=printed))] == [printed]


def test_a_void_second_look_is_the_only_rung_ahead_of_a_group_whose_work_stands() -> None:
    bolts = Item("1", 1, Kind.FASTENER, n=1, critical=True, detail=Fastener(torque="25 N·m"))
    state = fold(
        Kind.FASTENER, 1,
        [mark("0", Act.OFF), mark("1", Act.TIGHT, after=["0"], person="Ada"),
         mark("2", Act.CHECKED, after=["1"], person="Ben")],
    )  # fmt: skip
    assert rungs_ahead(bolts, state) == ()
    assert [rung.act for rung in rungs_ahead(bolts, state, looks_again=True)] == [Act.CHECKED]


@pytest.mark.parametrize("critical", [False, True])
def test_bolts_that_are_open_though_tight_are_tightened_again_before_anybody_looks_at_them(
    *, critical: bool
) -> None:
    bolts = Item("1", 1, Kind.FASTENER, n=1, critical=critical, detail=Fastener(torque=HEAD, one_time="yes"))
    state = fold(Kind.FASTENER, 1, [mark("0", Act.OFF), mark("1", Act.TIGHT, after=["0"])])
    ahead = rungs_ahead(bolts, state, tightens_again=True)
    assert [rung.act for rung in ahead] == [Act.TIGHT, Act.CHECKED][: 1 + critical]
    assert ahead[0].stage
    assert ahead[0].stage.number == 5
    two = [mark("0", Act.OFF), mark("1", Act.TIGHT, after=["0"]), mark("2", Act.LOOSENED, after=["0"])]
    assert rungs_ahead(bolts, fold(Kind.FASTENER, 1, two), tightens_again=True) == ()
