"""Gates as they stand: 200 lines of which one is left undone, passes, answers, rounds."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.gates.gate_state import GateState, gate_state
from app.core.gates.gates import Gate, fold_gate
from app.core.gates.measured import SKIPPED, Question
from app.core.items.items import Item
from app.core.items.journal import Line
from app.core.items.kinds import BESIDE, CRITICAL_TYPES, LADDER, Act, Kind, rung, rungs
from app.core.ledger.ledger import needs
from app.core.phases.routes import Route
from tests.core.gates.ledgers import facts, tell
from tests.core.items.lines import mark, say, undo
from tests.core.ledger.standing import Stands, item, known, stands

START = Gate("start", "Before first start", "The key is turned", (Question("neutral", "Neutral"),))
CONNECTIONS = [
    *("electrical connector", "sensor", "vacuum line", "coolant hose", "refrigerant line", "air duct"),
    *("oil or breather line", "exhaust joint", "control cable", *sorted(CRITICAL_TYPES)),
]


def every_kind() -> list[Item]:
    """One item of each kind, each type of connection by itself, plain and critical."""
    plain = [item(Kind.CONNECTION, detail=known(Kind.CONNECTION, type=each)) for each in CONNECTIONS]
    plain += [item(kind) for kind in Kind if kind is not Kind.CONNECTION]
    return plain + [item(each.kind, detail=each.detail, critical=True) for each in plain]


def closed(it: Item) -> Stands:
    """Everything done, up to the second look where one is asked."""
    top = rung(it.kind, needs(it))
    return stands(it, *[act for act in rungs(it.kind, bleeds=it.bleeds) if rung(it.kind, act) <= top])


def undone() -> list[tuple[str, Item, tuple[Act, ...]]]:
    """Each kind at each rung below the one that closes it, and in each state beside its ladder."""
    found = []
    for it in every_kind():
        top = rung(it.kind, needs(it))
        top = (
            min(top, rung(it.kind, Act.FILLED)) if it.kind is Kind.FLUID else top
        )  # bled hot, after the start
        ladder = [act for act in rungs(it.kind, bleeds=it.bleeds) if rung(it.kind, act) < top]
        paths = [tuple(ladder[: i + 1]) for i in range(len(ladder))]
        paths += [(act,) for act in BESIDE[it.kind] if act is not Act.UNUSED]
        paths += [()] if it.kind is Kind.STEP else []
        name = f"{it.kind}{'!' if it.critical else ''} {it.type}"
        found += [(f"{name} {'-'.join(path) or 'untouched'}", it, path) for path in paths]
    return found


UNDONE = undone()
OTHERS = [
    closed(item(kind, str(100 + nth), zone=f"z{nth % 9}", step="", critical=nth % 3 == 0))
    for nth, kind in enumerate(list(Kind) * 25)
]


def gate_over(lines: list[Stands], *said: Line) -> GateState[Stands]:
    return gate_state(START, facts(*lines, route=Route.NONE, told=fold_gate(said)))


YES = tell("y", "answer", {"question": "neutral", "value": "yes"}, seq=1)
PASSED = tell("p", "pass", {"open": []}, after="y", seq=2)


@pytest.mark.parametrize(("it", "path"), [row[1:] for row in UNDONE], ids=[row[0] for row in UNDONE])
def test_one_thing_left_undone_among_two_hundred_keeps_the_start_gate_shut(
    it: Item, path: tuple[Act, ...]
) -> None:
    assert len(OTHERS) == 200
    assert gate_over(OTHERS, YES, PASSED).is_green
    left = stands(it, *path)

    stand = gate_over([*OTHERS[:120], left, *OTHERS[120:]], YES, PASSED)

    assert not stand.is_green
    assert [(line.item.id, line.item.zone) for line in stand.lines] == [("1", "z1")]


@settings(max_examples=60)
@given(st.sampled_from(every_kind()), st.data())
def test_no_sequence_of_states_hides_what_is_not_at_its_last_rung(it: Item, data: st.DataObject) -> None:
    acts = [act for act in (*LADDER[it.kind], *BESIDE[it.kind]) if act not in {Act.UNUSED, Act.STAGE}]
    path = tuple(data.draw(st.lists(st.sampled_from(acts), min_size=1, max_size=9)))

    stand = gate_over([*OTHERS, stands(it, *path)], YES, PASSED)

    work = [act for act in path if act is not Act.CHECKED]
    top = rung(it.kind, needs(it)) - (needs(it) is Act.CHECKED)
    done = bool(work) and rung(it.kind, work[-1]) >= top
    looked = needs(it) is not Act.CHECKED or path[-1] is Act.CHECKED
    to_start = it.bleeds and work[-1:] == [Act.FILLED]  # enough to start: it is bled and its level seen after
    assert stand.is_green == ((done and looked) or to_start or (not work and it.kind is not Kind.STEP))


def test_a_gate_is_green_only_when_somebody_passed_it_with_nothing_open() -> None:
    assert gate_over(OTHERS).word == "open"
    assert gate_over(OTHERS, YES).word == "ready"
    assert gate_over(OTHERS, YES, PASSED).word == "green"


def test_a_change_that_opens_a_line_makes_a_green_gate_red_again() -> None:
    assert gate_over([*OTHERS, stands(item(), Act.OFF)], YES, PASSED).word == "open"


def test_passing_with_open_lines_keeps_name_reason_and_what_was_open_and_stays_red() -> None:
    left = stands(item(), Act.OFF)
    told = tell("p", "pass", {"open": ["1"], "reason": "only the ashtray"}, after="y", seq=2)

    stand = gate_over([left], YES, told)
    assert (stand.is_passed, stand.is_green) == (True, False)
    [passed] = stand.facts.passes
    assert (passed.person, passed.open, passed.reason) == ("Ada", ("1",), "only the ashtray")

    later = gate_over([closed(item())], YES, told)
    assert later.word == "ready"
    again = gate_over([closed(item())], YES, told, tell("q", "pass", {"open": []}, after="p", seq=3))
    assert again.is_green
    assert [each.open for each in again.facts.passes] == [(), ("1",)]


def test_an_undone_pass_is_none() -> None:
    assert gate_over([], YES, PASSED, tell("u", "undo", {"line": "p"}, after="p")).word == "ready"


def test_two_who_answer_differently_without_having_seen_each_other_are_shown() -> None:
    no = tell("n", "answer", {"question": "neutral", "value": SKIPPED}, person="Ben", seq=2)
    [asked] = gate_over([], YES, no).questions
    assert asked.problem
    assert asked.problem.code == "disagree"


def test_begun_anew_every_answer_and_pass_is_asked_again_and_the_record_stays() -> None:
    anew = tell("a", "answer", {"anew": True}, after="p", seq=3)
    stand = gate_over([], YES, PASSED, anew)
    assert stand.word == "open"
    assert [each.line for each in stand.facts.earlier] == ["p"]


def test_a_mark_by_somebody_else_does_not_close_what_two_disagree_about() -> None:
    it = item(Kind.PART)
    left = Stands(it, stands(it, lines=(mark("a", Act.OFF), mark("b", Act.PLACED, person="Ben"))).state)
    assert gate_over([left], YES, PASSED).word == "open"


def group(*lines: Line, **detail: object) -> Stands:
    """Four bolts of which the third is left as the lines say."""
    it = item(Kind.FASTENER, n=4, detail=known(Kind.FASTENER, **detail))
    off = mark("a", Act.OFF)
    rest = mark("b", Act.TIGHT, after=["a"], pos=[1, 2, 4], reached="25 N·m")
    return Stands(it, stands(it, lines=(off, rest, *lines)).state)


@pytest.mark.parametrize("act", [act for act in LADDER[Kind.FASTENER] if act not in {Act.TIGHT, Act.CHECKED}])
def test_one_bolt_of_a_group_keeps_the_gate_shut_and_is_named_by_its_position(act: Act) -> None:
    left = group(mark("c", act, after=["b"], pos=[3]))
    [line] = gate_over([*OTHERS, left], YES, PASSED).lines
    assert {number for reason in line.reasons for number in reason.positions} == {3}


TIGHT = mark("c", Act.TIGHT, after=["b"], pos=[3], reached="25 N·m")


@pytest.mark.parametrize(
    "left",
    [
        group(TIGHT, one_time="yes"),
        group(mark("c", Act.TIGHT, after=["b"], pos=[3]), torque=""),
        group(mark("c", Act.TIGHT, after=["b"], pos=[3], reached="60 N·m")),
        group(TIGHT, mark("d", Act.HAND_TIGHT, after=["b"], pos=[3], person="Ben")),
        group(TIGHT, say("d", "count", {"piece": "lost", "pos": [3]}, after=["c"])),
        group(TIGHT, say("d", "dispose", {"destiny": "undecided"}, after=["c"])),
        group(TIGHT, say("d", "dispose", {"destiny": "replaced"}, after=["c"])),
        group(TIGHT, mark("e", Act.TIGHT, after=["never came"])),
        group(TIGHT, undo("d", "c", after=["c"])),
        group(TIGHT, mark("d", Act.LOOSENED, after=["c"], pos=[3])),
    ],
    ids=[
        "old",
        "no figure",
        "out of band",
        "disputed",
        "lost",
        "undecided",
        "replaced",
        "waiting",
        "undone",
        "loosened",
    ],
)
def test_no_other_state_of_a_group_hides_it(left: Stands) -> None:
    assert gate_over([*OTHERS, group(TIGHT)], YES, PASSED).is_green
    assert [line.item.id for line in gate_over([*OTHERS, left], YES, PASSED).lines] == ["1"]


def test_without_a_said_route_nothing_is_green() -> None:
    told = facts(*OTHERS, route=Route.NONE, told=fold_gate([YES, PASSED]))
    assert gate_state(START, told).is_green
    blind = gate_state(START, told, is_blind=True)
    assert (blind.word, blind.open_ids) == ("open", ("route",))
