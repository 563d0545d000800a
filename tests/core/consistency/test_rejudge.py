"""Judging again what is near a change finds the same as judging all of it."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.consistency.judge import judge
from app.core.consistency.rejudge import rejudge
from app.core.consistency.scene import Scene, Seen
from app.core.consistency.times import times_of
from app.core.items.items import Edge, Fluid, Item
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.items.roles import Role
from app.core.items.state import fold
from app.core.ledger.ledger import work_act
from app.core.phases.phases import fold_phases
from app.core.phases.routes import Route
from app.core.phases.sides import Sides
from app.core.phases.units import usual_units
from tests.core.ledger.standing import item, known

ACTS = {
    Kind.PART: (Act.OFF, Act.PLACED),
    Kind.FASTENER: (Act.OFF, Act.HAND_TIGHT, Act.TIGHT, Act.CHECKED),
    Kind.TEMPORARY: (Act.FITTED, Act.OUT),
    Kind.FLUID: (Act.DRAINED, Act.FILLED),
    Kind.STEP: (Act.DONE,),
}
KINDS = [
    *(Kind.PART, Kind.PART, Kind.PART, Kind.PART, Kind.FASTENER, Kind.FASTENER),
    *(Kind.TEMPORARY, Kind.TEMPORARY, Kind.FLUID, Kind.STEP),
]
ITEMS: dict[str, Item] = {
    str(n): item(kind, str(n), detail=Fluid("engine oil", capacity_l=5)) if kind is Kind.FLUID
    else item(kind, str(n), step=str(n)) if kind is Kind.STEP
    else item(kind, str(n), detail=known(Kind.FASTENER, torque="25 N·m")) if kind is Kind.FASTENER
    else item(kind, str(n), step="")
    for n, kind in enumerate(KINDS)
}  # fmt: skip
RELATIONS = ("holds", "covers", "seals", "closes", "replaces")
EDGES = st.lists(
    st.builds(Edge, st.sampled_from([*ITEMS]), st.sampled_from(RELATIONS), st.sampled_from([*ITEMS])),
    max_size=14,
)
MARKS = st.lists(st.tuples(st.sampled_from([*ITEMS]), st.integers(0, 3)), max_size=30)


def scene_of(edges: list[Edge], marks: list[tuple[str, int]], systems: dict[str, str]) -> Scene:
    lines: dict[str, list[Line]] = {name: [] for name in ITEMS}
    for seq, (name, nth) in enumerate(marks, 1):
        row, acts = lines[name], ACTS[ITEMS[name].kind]
        after = frozenset({row[-1].id}) if row else frozenset[str]()
        said = {"act": acts[nth % len(acts)].value}
        row.append(Line(f"{seq:03}", f"item:{name}", "mark", said, after, "Ada", seq=seq))
    things = {
        name: Seen(it, fold(it.kind, it.positions, lines[name], work=work_act(it)), times_of(it, lines[name]))
        for name, it in ITEMS.items()
    }
    units = usual_units()
    sides = Sides(units, Route.NONE, Route.NONE, ITEMS, tuple(edges), {"9": Role.PRIME})
    return Scene(things, tuple(edges), fold_phases(units, []), sides, frozenset({"3"}), systems)


@given(EDGES, MARKS, MARKS, st.dictionaries(st.sampled_from("0123"), st.just("engine oil")))
def test_what_is_near_a_change_is_all_that_differs(
    edges: list[Edge], marks: list[tuple[str, int]], more: list[tuple[str, int]], systems: dict[str, str]
) -> None:
    before, now = scene_of(edges, marks, systems), scene_of(edges, marks + more, systems)
    changed = {name for name in ITEMS if before.things[name] != now.things[name]}

    assert rejudge(judge(before), now, changed) == judge(now)


@pytest.mark.parametrize("changed", [{"6"}, {"1"}, {"0"}])
def test_a_cap_under_a_cover_is_found_from_each_of_the_three(changed: set[str]) -> None:
    edges = [Edge("6", "closes", "0"), Edge("1", "covers", "0")]
    marks = [("6", 0), ("0", 0), ("1", 0), ("0", 1), ("1", 1)]
    now = scene_of(edges, marks, {})
    touched = [name for name in changed if now.things[name].state.positions]
    untouched = {n: Seen(ITEMS[n], fold(ITEMS[n].kind, 1, ())) for n in touched}
    before = replace(now, things={**now.things, **untouched})

    again = rejudge(judge(before), now, changed)

    assert again == judge(now)
    assert {each.code for each in again} >= {"left-in"}
