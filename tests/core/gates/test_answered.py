"""What the ledger answers, what is asked of people, when an answer lapses, who accepts a departure."""

from dataclasses import replace

import pytest

from app.core.gates.answered import asked_of_people, has_lapsed, speaks_of
from app.core.gates.by_phase import lines_for
from app.core.gates.gates import Gate, GateAnswer, GateFacts, Pass, fold_gate
from app.core.gates.measured import Question
from app.core.items.items import Fluid, Locator
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.phases.routes import Route
from tests.core.gates.ledgers import facts
from tests.core.ledger.standing import Stands, item, stands

KEYS = ("temporaries", "fluids", "dowels", "primed", "gearbox_propped", "neutral")
GATE = Gate("start", "", "", tuple(Question(key, key) for key in KEYS))


def answers(*lines: Stands, route: Route = Route.NONE) -> dict[str, bool]:
    return {each.question: each.is_yes for each in lines_for(GATE, facts(*lines, route=route)).answered}


def temporary(item_id: str, *acts: Act, name: str = "Rag") -> Stands:
    return stands(item(Kind.TEMPORARY, item_id, name=name), *acts)


def fluid(*acts: Act, bleeds: bool = False) -> Stands:
    return stands(item(Kind.FLUID, "f", detail=Fluid("coolant", bleeds=bleeds)), *acts)


def dowel(n: int | None, *acts: Act) -> Stands:
    return stands(item(Kind.LOCATOR, "d", name="Dowel", n=n, detail=Locator()), *acts)


@pytest.mark.parametrize(
    ("line", "key", "expected"),
    [
        (temporary("t", Act.FITTED), "temporaries", False),
        (temporary("t", Act.FITTED, Act.OUT), "temporaries", True),
        (temporary("t"), "temporaries", None),
        (fluid(Act.DRAINED), "fluids", False),
        (fluid(Act.DRAINED, Act.FILLED), "fluids", True),
        (fluid(Act.DRAINED, Act.FILLED, bleeds=True), "fluids", True),
        (fluid(), "fluids", None),
        (dowel(2, Act.OFF), "dowels", False),
        (dowel(2, Act.OFF, Act.COUNTED_IN), "dowels", True),
        (dowel(None, Act.OFF), "dowels", None),
        (stands(item(Kind.STEP, "prime"), Act.DONE), "primed", True),
    ],
)  # fmt: skip
def test_what_the_ledger_knows_it_answers_itself(line: Stands, key: str, expected: bool | None) -> None:
    look = lines_for(GATE, facts(line))

    assert answers(line).get(key) is expected
    assert (key in {each.key for each in look.asked}) is (expected is None)


def test_six_rags_in_answer_no_and_keep_the_gate_shut() -> None:
    look = lines_for(GATE, facts(*(temporary(str(n), Act.FITTED) for n in range(6))))
    answer = next(each for each in look.answered if each.question == "temporaries")

    assert answer.because == tuple("012345")
    assert not look.is_clear


def test_a_gearbox_that_leaves_with_the_engine_needs_no_prop_and_one_that_stays_has_one_or_is_asked() -> None:
    prop = temporary("p", Act.FITTED, name="Gearbox prop")
    assert answers(route=Route.TOGETHER_UP)["gearbox_propped"] is True
    assert "gearbox_propped" not in answers(route=Route.ENGINE_UP)
    assert answers(prop, route=Route.ENGINE_UP)["gearbox_propped"] is True


CLEAN = GateFacts(passes=(Pass("p", "Ada", ""),), newest=frozenset({"p"}))
NEW = replace(GATE, questions=(Question("neutral", ""), Question("brand_new", "")))


@pytest.mark.parametrize(
    ("told", "then", "asked"),
    [
        (GateFacts(), None, ["neutral", "brand_new"]),
        (CLEAN, None, ["neutral"]),
        (CLEAN, frozenset({"neutral", "brand_new"}), ["neutral", "brand_new"]),
        (replace(CLEAN, passes=(Pass("p", "Ada", "", ("x",)),)), None, ["neutral", "brand_new"]),
    ],
)
def test_a_question_new_in_a_version_turns_no_gate_red_that_was_passed(
    told: GateFacts, then: frozenset[str] | None, asked: list[str]
) -> None:
    found = asked_of_people(NEW, facts(told=told, asked_then=then), set())
    assert [each.key for each in found] == asked


def test_an_answer_lapses_when_a_thing_that_it_speaks_of_changes() -> None:
    brake = stands(item(Kind.PART, "b", name="Brake caliper"), Act.OFF, Act.PLACED)
    hose = stands(item(Kind.PART, "h", name="Hose"), Act.OFF)
    seen = speaks_of("brakes", [brake, hose])
    body = {"question": "brakes", "value": "yes", "seen": list(seen)}
    answer = fold_gate([Line("a", "gate:1", "answer", body, frozenset(), "Ada")]).answers["brakes"]
    again = stands(brake.item, Act.OFF, Act.PLACED, Act.OFF)

    assert seen == brake.state.tips
    assert not has_lapsed(answer, speaks_of("brakes", [brake, hose]))
    assert has_lapsed(answer, speaks_of("brakes", [again, hose]))
    assert not has_lapsed(GateAnswer("yes"), speaks_of("brakes", [again]))
