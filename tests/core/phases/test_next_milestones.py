"""Which milestone comes next, on each route, until the vehicle has moved."""

import pytest

from app.core.items.journal import Line
from app.core.phases.milestones import Verb
from app.core.phases.next_milestones import next_milestone, other_milestones
from app.core.phases.phases import Phases, fold_phases
from app.core.phases.routes import Route
from app.core.phases.swap import Swap, chosen_swap
from tests.core.phases.told import row


def told(swap: Swap, lines: list[Line]) -> Phases:
    return fold_phases(swap.units, lines)


def played(swap: Swap) -> list[str]:
    """Tell what comes next until nothing does."""
    lines: list[Line] = []
    said = []
    while offer := next_milestone(swap, told(swap, lines)):
        said.append(f"{offer.verb.value} {' '.join(offer.units)} [{offer.gate}]")
        body = {"units": list(offer.units)} | ({"to": offer.to} if offer.to else {})
        seen = frozenset(line.id for line in lines)
        lines.append(Line(f"{len(lines):02}", "build:b", offer.verb.value, body, seen, "Ada", seq=len(lines)))
        assert not told(swap, lines).untrue, said
        assert len(said) < 20
    return said


def swap(out: Route, back: Route | None = None, **over: bool) -> Swap:
    chosen = {"new_engine": True, "gearbox": True} | over
    return chosen_swap(out, back or out, **chosen)


RUN = ["first_start vehicle [start]", "moved vehicle [move]"]


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        (
            swap(Route.ENGINE_UP),
            [
                *("hook_up old [hook_up]", "rise old [lift]", "set_down old []"),
                *("lift_in new [lift_in]", "mating new gearbox [mating]", "landed new [landing]"),
            ],
        ),
        (
            swap(Route.TOGETHER_UP, new_engine=False),
            [
                *("hook_up engine gearbox [hook_up]", "rise engine gearbox [lift]"),
                *("set_down engine gearbox []", "turn engine []", "lift_in engine gearbox [lift_in]"),
                "landed engine gearbox [landing]",
            ],
        ),
        (
            swap(Route.TOGETHER_UP, Route.ENGINE_UP),
            [
                *("hook_up gearbox old [hook_up]", "rise gearbox old [lift]", "set_down gearbox old []"),
                *("lift_in gearbox []", "lift_in new [lift_in]", "mating new gearbox [mating]"),
                "landed gearbox new [landing]",
            ],
        ),
        (swap(Route.NONE, new_engine=False, gearbox=False), []),
    ],
)
def test_what_comes_next_is_never_untrue_and_ends_with_the_drive(about: Swap, expected: list[str]) -> None:
    assert played(about)[: len(expected)] == expected
    assert played(about)[-2:] == RUN


def test_where_two_people_differ_nothing_comes_next() -> None:
    about = swap(Route.ENGINE_UP)
    rise = Line("a", "build:b", "rise", {"units": ["old"]}, frozenset(), "Ada", seq=1)
    down = Line("b", "build:b", "set_down", {"units": ["old"]}, frozenset(), "Ben", seq=2)
    assert next_milestone(about, told(about, [rise, down])) is None


def test_an_engine_that_was_out_before_the_record_can_be_said_to_be_out() -> None:
    about = swap(Route.ENGINE_UP)
    early = [each for each in other_milestones(about, told(about, [])) if each.before_record]
    assert [(each.verb.value, each.units) for each in early] == [("set_down", ("old",))]


def test_an_engine_that_its_mounts_carry_can_be_hooked_up_again() -> None:
    about = swap(Route.ENGINE_UP)
    there = row("hook_up old", "rise old", "set_down old", "lift_in new", "mating new gearbox", "landed new")

    def hooked(lines: list[Line]) -> list[tuple[tuple[str, ...], str]]:
        offers = other_milestones(about, told(about, lines))
        return [(each.units, each.gate) for each in offers if each.verb is Verb.HOOK_UP]

    assert hooked(there) == [(("new",), "hook_up")]
    assert hooked(there[:-1]) == []


def test_an_engine_that_comes_back_itself_is_asked_whether_it_goes_together_and_may_go_in_unasked() -> None:
    same = swap(Route.ENGINE_UP, new_engine=False)
    lines = row("rise engine", "set_down engine")
    asked = next_milestone(same, told(same, lines))
    assert asked is not None
    assert (asked.verb, asked.to) == (Verb.TURN, "together")
    assert Verb.LIFT_IN in {each.verb for each in other_milestones(same, told(same, lines)) if not each.trial}
