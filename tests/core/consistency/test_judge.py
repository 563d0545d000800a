"""The judge of sequence: what cannot be true of the vehicle, and what is asked by name."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.consistency.findings import Finding, FindingAnswer, Verdict, reopened, unanswered
from app.core.consistency.judge import judge
from app.core.consistency.scene import Expected, Scene, Seen
from app.core.consistency.times import times_of
from app.core.items.items import DETAIL, Edge, Fastener, Fluid, Item, Part
from app.core.items.journal import Line
from app.core.items.kinds import Kind
from app.core.items.roles import Role
from app.core.items.state import fold
from app.core.ledger.ledger import Reason, why_open, work_act
from app.core.phases.phases import fold_phases
from app.core.phases.routes import Route
from app.core.phases.sides import Sides
from app.core.phases.units import usual_units
from app.core.wording.consistency import CODES, finding_text, offer_text
from tests.core.phases.played import Played, known
from tests.core.phases.reference import DONE, OFF, World
from tests.core.phases.test_gates_by_phase import GASKET, HOSE, MANIFOLD, MOUNTS, NUTS, RAG
from tests.core.phases.told import row, tell

SWAP = usual_units(new_engine=True)
IMPOSSIBLE, ASKS = Verdict.IMPOSSIBLE, Verdict.ASKS


def thing(item_id: str, kind: Kind = Kind.PART, **over: Any) -> Item:
    detail = over.pop("detail", None) or DETAIL.get(kind, Part)()
    return replace(Item(item_id, 1, kind, item_id, n=1, detail=detail), **over)


def scene(
    items: Iterable[Item],
    said: Iterable[str],
    *,
    edges: tuple[Edge, ...] = (),
    milestones: Iterable[Line] = (),
    more: dict[str, list[Line]] | None = None,
    **over: Any,
) -> Scene:
    """Marks such as "a off", one after the other; `more` are lines of a thing besides."""
    known_items = {item.id: item for item in items}
    lines: dict[str, list[Line]] = {item: [] for item in known_items}
    for nth, each in enumerate(said, 1):
        item, act, *rest = each.split()
        body: dict[str, Any] = {"act": act} | ({"litres": float(rest[0])} if rest else {})
        after = {lines[item][-1].id} if lines[item] else set()
        person = "Ben" if act == "checked" else "Ada"
        lines[item].append(
            Line(f"{nth:03d}", f"item:{item}", "mark", body, frozenset(after), person, seq=nth)
        )
    for item, extra in (more or {}).items():
        lines[item] += extra
    things = {
        item.id: Seen(
            item,
            fold(item.kind, item.positions, lines[item.id], work=work_act(item)),
            times_of(item, lines[item.id]),
        )
        for item in known_items.values()
    }
    roles = over.pop("roles", {})
    sides = Sides(SWAP, Route.ENGINE_UP, Route.ENGINE_UP, known_items, edges, roles)
    return Scene(things, edges, fold_phases(SWAP, milestones), sides, **over)


def found(*args: Any, **over: Any) -> list[tuple[str, Verdict, str, str]]:
    return [(each.code, each.verdict, each.item, each.other) for each in judge(scene(*args, **over))]


COVER = [thing("cover"), thing("gasket")]
SEALED = (Edge("gasket", "seals", "cover"),)


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


def test_a_gasket_that_is_replaced_is_spoken_for_by_the_new_one() -> None:
    items = [*COVER, thing("new")]
    edges = (*SEALED, Edge("new", "replaces", "gasket"))
    replaced = {"gasket": [Line("r", "item:gasket", "dispose", {"destiny": "replaced"}, frozenset({"002"}))]}
    said = ["cover off", "gasket off", "new off", "cover placed"]

    assert found(items, said, edges=edges, more=replaced) == [("unsealed", IMPOSSIBLE, "cover", "new")]


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


OIL = thing("oil", Kind.FLUID, detail=Fluid("engine oil"))
PLUG = thing("plug", Kind.FASTENER, detail=Fastener(torque="25 N·m"))
CIRCUIT = {"plug": "engine oil"}


def test_filled_before_its_circuit_is_closed() -> None:
    both = ["oil drained", "plug off", "oil filled"]

    assert found([OIL, PLUG], both, systems=CIRCUIT) == [("filled-open", IMPOSSIBLE, "oil", "plug")]
    assert found([OIL, PLUG], [*both, "plug placed"], systems=CIRCUIT)[0][0] == "filled-open"
    late = [*both, "plug tight"]
    assert found([OIL, PLUG], late, systems=CIRCUIT) == [("closed-after-filled", ASKS, "oil", "plug")]
    assert found([OIL, PLUG], ["oil drained", "plug off", "plug tight", "oil filled"], systems=CIRCUIT) == []


def test_an_opening_that_is_plugged_may_be_filled() -> None:
    cap = thing("cap", Kind.TEMPORARY)
    said = ["oil drained", "plug off", "cap fitted", "oil filled"]
    assert found([OIL, PLUG, cap], said, systems=CIRCUIT, edges=(Edge("cap", "closes", "plug"),)) == []


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
        (["oil drained 2.4", "oil filled 1.0"], None, "amount-low"),
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


BOLTS = thing("bolts", Kind.FASTENER, detail=Fastener(torque="25 N·m", one_time="yes"))


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


def test_milestones_that_cannot_have_been_and_those_that_differ_are_found() -> None:
    assert found([], [], milestones=row("moved")) == [("milestone-not-started", IMPOSSIBLE, "00", "")]
    two = [tell("a", "rise", "old"), tell("b", "left", "old")]
    assert {each[0] for each in found([], [], milestones=two)} == {"milestones-differ"}
    unread = [tell("a", "rise", "third")]
    assert found([], [], milestones=unread) == [("milestone-unit-unknown", IMPOSSIBLE, "a", "")]


def test_a_connection_joined_again_while_the_engine_that_comes_in_is_out() -> None:
    played = Played(Route.ENGINE_UP, known(HOSE)).do("hose off", "hook", "rise", "set_down")
    assert played.open_findings == ()
    assert [each.code for each in played.do("hose started").open_findings] == ["joined-while-out"]
    assert played.do("lift_in").open_findings == ()


def test_what_was_never_marked_off_is_impossible_once_the_engine_is_out() -> None:
    played = Played(Route.ENGINE_UP, known(HOSE, MOUNTS)).do("rise")
    assert {(each.code, each.item) for each in played.open_findings} == {
        ("on-while-out", "hose"), ("on-while-out", "mounts"),
    }  # fmt: skip


def test_nuts_kept_on_their_studs_while_the_engine_is_out_are_no_fault() -> None:
    played = Played(Route.ENGINE_UP, known(MOUNTS)).do("mounts off", "rise", "set_down", "mounts started")
    assert played.open_findings == ()
    assert [each.code for each in played.do("mounts done").open_findings] == ["joined-while-out"]


LATE = judge(scene(COVER, ["cover off", "gasket off", "cover placed", "gasket placed"], edges=SEALED))


def test_a_finding_reopens_its_line_with_a_reason_of_its_own() -> None:
    assert reopened(LATE) == {"cover": (Reason("sealed-after"),)}


@pytest.mark.parametrize(
    ("person", "reason", "seen", "closes"),
    [
        ("Ada", "it was in", LATE[0].seen, True),
        ("", "it was in", LATE[0].seen, False),
        ("Ada", " ", LATE[0].seen, False),
        ("Ada", "it was in", LATE[0].seen[:1], False),
        ("Ada", "it was in", (*LATE[0].seen, "later"), False),
    ],
)
def test_an_answer_by_name_closes_what_is_asked_until_its_lines_change(
    person: str, reason: str, seen: tuple[str, ...], closes: bool
) -> None:
    answer = FindingAnswer(LATE[0].key, person, reason, seen)
    assert (unanswered(LATE, [answer]) == ()) is closes


def test_no_answer_closes_what_is_impossible() -> None:
    wrong = judge(scene(COVER, ["cover off", "gasket off", "cover placed"], edges=SEALED))
    assert unanswered(wrong, [FindingAnswer(wrong[0].key, "Ada", "I say so", wrong[0].seen)]) == wrong


@pytest.mark.parametrize("code", [*sorted(CODES), "milestone-not-risen", "milestone-pair"])
def test_each_finding_has_its_sentence_and_its_offer(code: str) -> None:
    finding = Finding(code, ASKS, "a", "b")
    for text in (finding_text(finding, "Cover", "Gasket"), offer_text(finding, "Cover", "Gasket")):
        assert text.endswith((".", "?"))
        assert "{" not in text


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
