"""Tightening on the card: stage by stage, which wrench, what was acknowledged, lengths, the drawing."""

import json
import re
from typing import Any

import pytest
from werkzeug.test import TestResponse

from tests.web.conftest import Garage
from tests.web.torque.test_wrenches import add, add_adapter

HEAD = "20 N·m then 40 N·m + 90°"


def line(garage: Garage, item: str, **form: Any) -> TestResponse:
    state = garage.state(item)
    answer: TestResponse = garage.owner.post(
        f"/i/{item}/line", **{"verb": "mark", "after": state["tips"], **form}
    )
    return answer


def page(garage: Garage, item: str) -> str:
    return str(garage.owner.get(f"/i/{item}").text)


def bolts(garage: Garage, **words: Any) -> str:
    return garage.item(
        "fastener", **{"name": "Head bolts", "n": "4", "thread": "M10x1.5", "torque": HEAD, **words}
    )


def test_each_stage_has_its_own_done(garage: Garage) -> None:
    item = bolts(garage)
    line(garage, item, act="hand_tight")
    for number, words in ((1, "stage 1 of 3: 20 N·m"), (2, "stage 2 of 3: 40 N·m")):
        assert f"Next: {words}" in page(garage, item)
        assert f'name="stage" value="{number}"' in page(garage, item)
        assert line(garage, item, act="stage", stage=number).status_code == 302
        assert garage.state(item)["positions"][0]["stage"] == number
    assert "Next: final stage: + 90°, striped" in page(garage, item)
    line(garage, item, act="tight", reached="90", reached_unit="°")
    assert "Closed." in page(garage, item)


def test_passes_of_one_figure_are_stages_too(garage: Garage) -> None:
    item = bolts(garage, torque="25 N·m", passes="3")
    line(garage, item, act="hand_tight")
    assert "stage 1 of 3: 7.5 N·m (30 %)" in page(garage, item)


def test_a_far_too_high_figure_is_recorded_with_its_caution_and_acknowledged_by_name(garage: Garage) -> None:
    item = bolts(garage, thread="M6x1", strength="8.8", torque="85 lb·ft")
    edit = json.loads(garage.one("SELECT body FROM journal WHERE verb = 'edit' ORDER BY seq DESC"))
    assert edit["cautions"][0]["code"] == "far-above"
    assert "Look at the print again" in page(garage, item)
    lou = garage.one("SELECT id FROM person WHERE name = 'Lou'")
    line(garage, item, verb="acknowledge", caution="far-above", torque="85 lb·ft", person=lou)
    assert "Looked into by Lou: the printed value stands." in page(garage, item)
    garage.describe(item, name="Head bolts", n="4", thread="M6x1", strength="8.8", torque="95 lb·ft")
    assert "Looked into by" not in page(garage, item)


@pytest.mark.parametrize("body", [{"caution": "x" * 41, "torque": "1"}, {"caution": 5, "torque": "1"}, {}])
def test_an_acknowledgement_that_names_nothing_is_refused(garage: Garage, body: dict[str, Any]) -> None:
    entry = garage.mark(bolts(garage), "tight", verb="acknowledge", body=body)
    assert garage.owner.send(entry).status_code == 422


def test_swapped_lengths_are_named_and_a_text_that_cannot_be_read_is_kept(garage: Garage) -> None:
    item = bolts(garage, lengths="1-3: 25; 4: 45", torque="25 N·m")
    line(garage, item, act="tight", by_feel="1")
    line(garage, item, verb="count", lengths="1 2: 25; 3: 45; 4: 25")
    assert "The bolts of holes 3 and 4 are swapped" in page(garage, item)
    assert "a bolt of the wrong length is in" in page(garage, item)
    answer = line(garage, item, verb="count", lengths="nine: 4")
    assert answer.status_code == 422
    assert 'value="nine: 4"' in answer.text


def test_the_drawing_marks_the_bolt_whose_turn_it_is(garage: Garage) -> None:
    item = bolts(garage, pattern="circle", torque="25 N·m")
    line(garage, item, act="hand_tight")
    assert "Next: 1." in page(garage, item)
    line(garage, item, act="tight", pos=[1], has_pos="1", by_feel="1")
    assert "Next: 2, hole 3." in page(garage, item)


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("lengths", "9: 25", "holes 1 to 4"),
        ("holes", "deep", "blind or wet"),
        ("own_order", "1 2", "Missing: 3, 4"),
        ("places_mm", "much", "cannot be read"),
    ],
)
def test_what_does_not_fit_the_group_names_its_field_and_is_kept(
    garage: Garage, field: str, value: str, said: str
) -> None:
    item = bolts(garage)
    answer = garage.describe(
        item, name="Head bolts", n="4", torque=HEAD, thread="M10x1.5", pattern="circle", **{field: value}
    )
    assert answer.status_code == 422
    assert said in answer.text
    assert f'value="{value}"' in answer.text
    assert garage.detail(item)["pattern"] == ""


def test_a_group_without_a_figure_is_closed_from_its_list_by_name(garage: Garage) -> None:
    item = bolts(garage, torque="", no_figure="y")
    line(garage, item, act="hand_tight")
    assert "Tightened by feel" in garage.owner.get("/b/1/torques?only=missing").text
    lou = garage.one("SELECT id FROM person WHERE name = 'Lou'")
    line(garage, item, act="tight", by_feel="1", person=lou, back="/b/1/torques?only=missing")
    assert garage.state(item)["positions"][0]["person"] == lou
    assert "Tightened by feel" not in garage.owner.get("/b/1/torques?only=missing").text


def test_what_is_tightened_again_has_a_list(garage: Garage) -> None:
    bolts(garage, retorque="500 km")
    assert "After the start: 1" in garage.owner.get("/b/1/torques").text
    assert "500 km" in garage.owner.get("/b/1/torques?only=again").text


def test_the_answer_to_a_mark_brings_the_stages_as_they_stand_with_the_adapter_on_the_wrench(
    garage: Garage,
) -> None:
    add(garage, checked_on="")
    adapter = add_adapter(garage)
    item = bolts(garage, torque="10 N·m then 18 N·m")
    line(garage, item, act="hand_tight")
    line(garage, item, act="stage", stage=1)
    answer = garage.owner.get(f"/i/{item}/form?adapter={adapter}").text
    assert re.findall(r'class="stage stage-(\w+)"', answer) == ["done", "next"]
    assert "set 18.0 N·m" not in answer
    assert "set 18.0 N·m" in garage.owner.get(f"/i/{item}/form").text
