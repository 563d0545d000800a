"""The judge of sequence: what cannot be true of the vehicle, and what is asked by name."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.consistency.scene import Expected
from app.core.items.items import Connection, Edge, Fastener, Fluid
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.core.ledger.ledger import why_open
from app.core.phases.routes import Route
from tests.core.consistency.scenes import ASKS, CIRCUIT, COVER, IMPOSSIBLE, OIL, PLUG, SEALED, found, thing
from tests.core.gates.test_by_phase import GASKET, MANIFOLD, NUTS, RAG
from tests.core.phases.played import Played, known
from tests.core.phases.reference import DONE, OFF, World


def test_in_place_while_it_is_away_is_impossible() -> None:
    part = [thing("head")]
    assert found(part, ["head off", "head placed"], away=frozenset({"head"})) == [
        ("in-place-while-away", IMPOSSIBLE, "head", "")
    ]
    assert found(part, [], away=frozenset({"head"})) == [("in-place-while-away", IMPOSSIBLE, "head", "")]
    assert found(part, ["head off"], away=frozenset({"head"})) == []


def test_a_cover_on_without_its_gasket_is_impossible_and_one_marked_after_it_is_asked() -> None:
    both = ["cover off", "gasket off"]
    assert found(COVER, [*both, "cover placed"], edges=SEALED) == [
        ("unsealed", IMPOSSIBLE, "cover", "gasket")
    ]
    late = [*both, "cover placed", "gasket placed"]
    assert found(COVER, late, edges=SEALED) == [("sealed-after", ASKS, "cover", "gasket")]
    assert found(COVER, [*both, "gasket placed", "cover placed"], edges=SEALED) == []
    assert found(COVER, [*late, "cover off", "cover placed"], edges=SEALED) == []


@pytest.mark.parametrize("rel", ["direct", "covered"])
def test_a_rag_left_in_under_something_on_is_impossible_and_one_out_after_it_is_asked(rel: str) -> None:
    items = [thing("rag", Kind.TEMPORARY), thing("port"), thing("cover")]
    over = "port" if rel == "direct" else "cover"
    edges = (Edge("rag", "closes", "port"), Edge("cover", "covers", "port"))
    both = [f"{over} off", "rag fitted", f"{over} placed"]

    assert found(items, both, edges=edges) == [("left-in", IMPOSSIBLE, over, "rag")]
    assert found(items, [*both, "rag out"], edges=edges) == [("out-after-closed", ASKS, over, "rag")]
    assert found(items, [*both[:2], "rag out", both[2]], edges=edges) == []


def test_a_group_tight_without_its_part_is_impossible_and_before_it_is_asked() -> None:
    items = [thing("nuts", Kind.FASTENER, detail=Fastener(torque="25 N·m")), thing("part")]
    held = (Edge("nuts", "holds", "part"),)
    both = ["nuts off", "part off", "nuts tight"]

    assert found(items, both, edges=held) == [("tight-without-part", IMPOSSIBLE, "nuts", "part")]
    assert found(items, [*both, "part placed"], edges=held) == [("tight-before-part", ASKS, "nuts", "part")]
    assert found(items, [*both, "part placed", "nuts tight"], edges=held) == []
    assert found(items, ["nuts off", "part off", "part placed", "nuts placed"], edges=held) == []


def test_filled_before_its_circuit_is_closed() -> None:
    both = ["oil drained", "plug off", "oil filled"]

    assert found([OIL, PLUG], both, systems=CIRCUIT) == [("filled-open", IMPOSSIBLE, "oil", "plug")]
    assert found([OIL, PLUG], [*both, "plug placed"], systems=CIRCUIT)[0][0] == "filled-open"
    late = [*both, "plug tight"]
    assert found([OIL, PLUG], late, systems=CIRCUIT) == [("closed-after-filled", ASKS, "oil", "plug")]
    assert found([OIL, PLUG], ["oil drained", "plug off", "plug tight", "oil filled"], systems=CIRCUIT) == []


def test_what_only_its_type_ties_to_a_circuit_is_found_open_and_never_asked_about_once_closed() -> None:
    hose = thing("hose", Kind.CONNECTION, detail=Connection("coolant hose"))
    coolant = thing("coolant", Kind.FLUID, detail=Fluid("coolant"))
    told = ["coolant drained", "hose off", "coolant filled"]
    circuit = {"hose": "coolant"}

    open_ = found([coolant, hose], told, systems=circuit)
    assert open_ == [("filled-open", IMPOSSIBLE, "coolant", "hose")]
    assert found([coolant, hose], [*told, "hose routed"], systems=circuit) == []
    said = replace(hose, system="coolant")
    asked = found([coolant, said], [*told, "hose routed"], systems=circuit)
    assert asked == [("closed-after-filled", ASKS, "coolant", "hose")]


def test_primed_before_the_oil_is_in() -> None:
    step = thing("prime", Kind.STEP)
    roles = {"prime": Role.PRIME}
    dry = ["oil drained", "prime done"]

    assert found([OIL, step], dry, roles=roles) == [("primed-dry", IMPOSSIBLE, "prime", "oil")]
    assert found([OIL, step], [*dry, "oil filled"], roles=roles) == [
        ("primed-before-filled", ASKS, "prime", "oil")
    ]
    assert found([OIL, step], ["oil drained", "oil filled", "prime done"], roles=roles) == []


@pytest.mark.parametrize(
    ("said", "expected", "code"),
    [
        (["oil drained", "oil filled 0.57"], Expected(5.7), "amount-low"),
        (["oil drained", "oil filled 30"], Expected(0.3), "amount-high"),
        (["oil drained 2.4", "oil filled 1.0"], None, ""),  # the ledger asks: less than came out
        (["oil drained", "oil filled 5.7"], Expected(5.7), ""),
        (["oil drained", "oil filled 5.7"], Expected(5.7, 8.0, is_dry=True), "amount-low"),
        (["oil drained", "oil filled 7.8"], Expected(5.7, 8.0), ""),
        (["oil drained", "oil filled 5.0"], Expected(0.0), ""),
        (["oil drained", "oil filled 5.0"], Expected(-3.0), ""),
        (["oil drained", "oil filled 5.0"], Expected(float("nan")), ""),
        (["oil drained", "oil filled 5.0"], None, ""),
    ],
)
def test_an_amount_far_from_what_belongs_in_is_asked(
    said: list[str], expected: Expected | None, code: str
) -> None:
    wanted = {"oil": expected} if expected else {}
    assert [each[0] for each in found([OIL], said, expected=wanted)] == [code] * bool(code)


CREW = known(MANIFOLD, GASKET, RAG, NUTS)
MARKS = [f"{name} {act}" for name in CREW for act in (OFF, DONE)]


@given(st.lists(st.tuples(st.integers(0, 2), st.sampled_from([*MARKS, "meet", "meet"])), max_size=24))
@settings(max_examples=200)
def test_no_marks_of_any_phones_end_at_zero_with_a_finding_unanswered(said: list[tuple[int, str]]) -> None:
    """Three phones, each seeing the others' lines only when they meet; the mechanic sees all in arrival."""
    played, world = Played(Route.NONE, CREW), World("none", CREW)
    seen: dict[int, set[str]] = {0: set(), 1: set(), 2: set()}
    for phone, what in said:
        if what == "meet":
            seen[phone] = {line.id for lines in played.lines.values() for line in lines}
            continue
        played.do(what)
        world.do(what)
        name = what.split()[0]
        line = played.lines[name].pop()
        after = frozenset(each.id for each in played.lines[name] if each.id in seen[phone])
        played.lines[name].append(replace(line, after=after, person=f"P{phone}"))
        seen[phone].add(line.id)
    is_zero = not any(why_open(each.item, each.state) for each in played.standing)
    agree = all(not p.disagree for each in played.standing for p in each.state.positions)
    if is_zero and agree and _is_in_one_row(played):
        assert bool(played.open_findings) == world.wrong()


@given(st.permutations(MARKS[1::2]), st.lists(st.sampled_from(MARKS), max_size=4))
@settings(max_examples=150)
def test_at_zero_the_judge_speaks_exactly_where_the_mechanic_does(order: list[str], more: list[str]) -> None:
    played, world = Played(Route.NONE, CREW), World("none", CREW)
    for move in [*MARKS[::2], *more, *order]:
        played.do(move)
        world.do(move)

    assert not any(why_open(each.item, each.state) for each in played.standing)
    assert bool(played.open_findings) == world.wrong()


def _is_in_one_row(played: Played) -> bool:
    """Whether each thing's lines were written in sight of those before, as the mechanic saw them."""
    return all(
        lines[nth].id in later.after for lines in played.lines.values() for nth, later in enumerate(lines[1:])
    )
