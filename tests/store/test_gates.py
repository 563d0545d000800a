"""Gates in a real build: what the program brings, what phones may say, what the start asks for later."""

from typing import Any

import pytest

from app.core.builds.snapshot import Entry
from app.core.gates.gate_state import GateState
from app.core.gates.gates import gate_subject
from app.core.gates.measured import FIELDS
from app.core.items.items import Connection, End, Fastener, Item
from app.core.items.kinds import Act, Kind
from app.store.crew import Visitor
from app.store.gates import ageing, due_rechecks, gate_states, gates, general_rechecks
from app.web.site.wording import cautions
from tests.store.garage import Garage
from tests.swaps import ENGINE_UP

ASKED = {
    "hook_up": {"ceiling", "gearbox_propped", "eye_bolts", "chain"},
    "lift": {"walk_round", "converter_held", "weight", "people", "second_person"},
    "lift_in": {"weight", "people", "way_clear"},
    "landing": {"seated", "supported", "hands_out"},
    "mating": {"dowels", "pilot", "converter_depth", "harness_clear", "turns"},
    "trial": {"primed", "extinguisher", "second_person", "neutral"},
    "start": {"temporaries", "fluids", "primed", "battery_last", "extinguisher", "second_person", "neutral"},
    "move": {
        "brakes",
        "steering",
        "axle_nuts",
        "wheel_nuts",
        "throttle",
        "selector",
        "leaks",
        "hood",
        "papers",
    },
}


def say(garage: Garage, key: str, verb: str, **body: Any) -> int:
    subject = gate_subject(garage.build, key)
    seen = [row[0] for row in garage.ask(f"SELECT id FROM journal WHERE subject = '{subject}'")]  # noqa: S608 - its own
    return garage.receive(garage.line(subject, verb, after=tuple(seen), **body)).status


def stand(garage: Garage, key: str) -> GateState[Entry]:
    with garage.database.reading() as session:
        return gate_states(session, garage.now())[key]


def due(garage: Garage) -> list[str]:
    return [each.key.partition("/")[2] for each in due_rechecks(garage.now(), stand(garage, "start").facts)]


def hose(item_id: str, *owners: str) -> Item:
    ends = tuple(End("AB"[i], f"end {i}", owner) for i, owner in enumerate(owners))
    return Item(item_id, 0, Kind.CONNECTION, "Heater hose", detail=Connection(type="coolant hose", ends=ends))


def test_every_gate_asks_what_its_act_cannot_do_without() -> None:
    found = {gate.key: {question.key for question in gate.questions} for gate in gates()}
    assert found.keys() == ASKED.keys()
    assert all(ASKED[key] <= found[key] for key in ASKED)


def test_every_question_recheck_and_age_has_a_source_and_every_caution_is_there() -> None:
    assert all(q.source and q.text and q.type in FIELDS for gate in gates() for q in gate.questions)
    assert all(each.source and each.when for each in general_rechecks())
    assert all(each.source and each.do for each in ageing())
    assert all(len(cautions(gate.cautions)) == len(gate.cautions) > 0 for gate in gates())


def test_one_hose_left_on_keeps_the_lift_gate_shut_and_is_named(garage: Garage) -> None:
    garage.is_about(ENGINE_UP)
    garage.add(hose("a" * 32, "vehicle", "old engine"))
    garage.add(hose("b" * 32, "vehicle", "old engine"), act=Act.LOOSENED)
    garage.add(hose("c" * 32, "vehicle", "vehicle"), act=Act.LOOSENED)
    assert [entry.item.id for entry in stand(garage, "lift").lines] == ["b" * 32]


def test_a_gate_is_passed_by_name_and_what_was_open_needs_a_reason(garage: Garage) -> None:
    assert say(garage, "start", "pass", open=["x"]) == 422
    assert say(garage, "start", "pass", open=["x"], reason=" ") == 422
    assert say(garage, "start", "pass") == 422
    assert not stand(garage, "start").is_passed
    assert say(garage, "start", "pass", open=["x"], reason="the neighbour waits") == 200
    [passed] = stand(garage, "start").facts.passes
    assert (passed.person, passed.open, passed.reason) == (garage.ada.person, ("x",), "the neighbour waits")


def test_a_phone_that_belongs_to_nobody_passes_no_gate(garage: Garage) -> None:
    nobody = Visitor(garage.ada.device, "", "", "helper", shut=False)
    entry = garage.line(gate_subject(garage.build, "mating"), "pass", open=[])
    assert garage.receive(entry, by=nobody).status == 422
    assert garage.receive(entry).status == 200


def test_a_load_above_the_plate_is_refused_and_a_depth_outside_its_limits_is_kept_and_keeps_it_shut(
    garage: Garage,
) -> None:
    garage.is_about(ENGINE_UP)
    heavy = {"measured": "310", "high": "250", "unit": "kg"}
    assert say(garage, "lift", "answer", gate="lift", question="weight", value=heavy) == 422
    assert "weight" not in stand(garage, "lift").facts.answers
    shallow = {"measured": "10", "low": "18", "high": "24", "unit": "mm"}
    assert say(garage, "mating", "answer", gate="mating", question="converter_depth", value=shallow) == 200
    assert "converter_depth" in {each.question.key for each in stand(garage, "mating").unanswered}


@pytest.mark.parametrize(
    ("subject_type", "verb", "body"),
    [
        ("gate", "mark", {"act": "off"}),
        ("gate", "stop", {}),
        ("gate", "answer", {}),
        ("gate", "answer", {"question": "q" * 500}),
        ("gate", "answer", {"question": "q", "value": "v" * 900_000}),
        ("gate", "pass", {"open": "all"}),
        ("gate", "pass", {"open": [], "reason": 7}),
        ("gate", "start", {"on": "tomorrow"}),
        ("gate", "start", {"on": "9999-12-31"}),
        ("gate", "start", {"on": "2031-05-04", "km": "-3"}),
        ("gate", "start", {"on": "2031-05-04", "km": "12345678"}),
        ("gate", "recheck", {"text": " "}),
        ("gate", "recheck", {"text": "belts", "due": "soon"}),
        ("gate", "recheck", {"text": "belts", "km": "far"}),
        ("build", "pass", {"open": []}),
        ("build", "mark", {"act": "off"}),
        ("build", "stop", {"note": "n" * 401}),
        ("item", "stop", {}),
        ("item", "answer", {"question": "q"}),
    ],
)
def test_a_line_that_says_nothing_readable_of_a_gate_is_refused(
    garage: Garage, subject_type: str, verb: str, body: dict[str, Any]
) -> None:
    before = garage.rows()
    assert garage.receive(garage.line(f"{subject_type}:{'a' * 32}", verb, **body)).status == 422
    assert garage.rows() == before


def test_a_stop_lands_once_however_often_it_is_sent(garage: Garage) -> None:
    entry = garage.line(f"build:{garage.build}", "stop", note="the left mount is next")
    assert [garage.receive(entry).status for _ in range(2)] == [200, 200]
    assert garage.ask("SELECT count(*) FROM journal WHERE verb = 'stop'") == [(1,)]


def test_the_first_start_asks_for_rechecks_until_each_was_looked_at_by_name(garage: Garage) -> None:
    assert due(garage) == []
    say(garage, "start", "start", on="2031-05-04", km="120000")
    keys = [each.key for each in general_rechecks()]
    assert sorted(due(garage)) == sorted(keys)
    start = stand(garage, "start").facts.starts[0].line
    say(garage, "start", "answer", question=f"{start}/hot_leaks", value="yes")
    assert sorted(due(garage)) == sorted(set(keys) - {"hot_leaks"})
    answer = stand(garage, "start").facts.answers[f"{start}/hot_leaks"]
    assert answer.person == garage.ada.person


def test_a_recheck_in_the_past_is_kept_and_comes_first(garage: Garage) -> None:
    say(garage, "start", "start", on="2031-05-04")
    say(garage, "start", "recheck", text="The hose at the back", due="2029-01-02")
    first = due_rechecks(garage.now(), stand(garage, "start").facts)[0]
    assert (first.text, str(first.due)) == ("The hose at the back", "2029-01-02")


def test_a_start_taken_back_asks_for_nothing(garage: Garage) -> None:
    say(garage, "start", "start", on="2031-05-04")
    line = stand(garage, "start").facts.starts[0].line
    say(garage, "start", "undo", line=line)
    assert due(garage) == []


def test_bolts_of_a_mount_are_critical_by_their_words_and_a_trim_clip_is_not(garage: Garage) -> None:
    garage.add(Item("a" * 32, 0, Kind.FASTENER, "Mount bolts", detail=Fastener()))
    garage.add(Item("b" * 32, 0, Kind.FASTENER, "Trim clips", detail=Fastener()))
    assert garage.entry("a" * 32).item.critical
    assert not garage.entry("b" * 32).item.critical
