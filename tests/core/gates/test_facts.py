from app.core.consistency.findings import Finding, Verdict
from app.core.gates.gates import GateAnswer, GateFacts, clear_key, fold_gate
from app.core.items.items import Item
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.phases.stages import Stage
from tests.core.gates.ledgers import facts
from tests.core.ledger.standing import item, stands

PART = item(Kind.PART)


def told(item_: Item, *values: object) -> GateFacts:
    """Answers that something is clear, none of which has seen another."""
    return fold_gate(
        Line(
            f"{n}",
            "gate:1",
            "answer",
            {"question": clear_key(item_.id), "value": value},
            frozenset(),
            f"P{n}",
        )
        for n, value in enumerate(values)
    )


def test_a_thing_is_seen_clear_until_something_happens_to_it() -> None:
    aside = stands(PART, Act.OFF, Act.ASIDE)
    moved = stands(PART, Act.OFF, Act.ASIDE, Act.OFF, Act.ASIDE)
    seen = facts(aside, told=told(PART, list(aside.state.tips)))

    assert seen.is_seen_clear(aside)
    assert not seen.is_seen_clear(moved)
    assert not facts(aside).is_seen_clear(aside)


def test_what_two_people_answer_differently_or_what_names_no_lines_is_not_seen_clear() -> None:
    aside = stands(PART, Act.OFF, Act.ASIDE)
    tips = list(aside.state.tips)

    differing = GateFacts(answers={clear_key(PART.id): GateAnswer(tips, disagree=True)})

    assert not facts(aside, told=differing).is_seen_clear(aside)
    assert not facts(aside, told=told(PART, tips, ["other"])).is_seen_clear(aside)
    assert not facts(aside, told=told(PART, "yes")).is_seen_clear(aside)


def test_a_thing_is_early_when_its_step_comes_no_later_than_the_lift() -> None:
    places = {"hood": 1, "lift": 2, "bench": 3}
    plan = facts(positions=places, lift=places["lift"])
    early = {step: plan.is_early(item(step=step)) for step in (*places, "unknown")}

    assert early == {"hood": True, "lift": True, "bench": False, "unknown": False}
    assert not facts(positions=places).is_early(item(step="hood"))


def test_a_finding_names_the_line_that_it_reopens_and_only_known_things_have_a_stage() -> None:
    line = stands(PART, Act.OFF)
    found = facts(line, findings=(Finding("unsealed", Verdict.IMPOSSIBLE, "1", "2"),))

    assert found.found == {"1"}
    assert found.stage("1") is Stage.VEHICLE
    assert found.stage("2") is None
