"""What a form says was reached: how it is known stays with the value; nothing is stored that was not read."""

import json
from typing import Any

import pytest

from app.core.intake.fields import fields_of
from app.core.intake.reached import reached_body
from app.core.problem import Problem


def said(*way: Any, **fields: str) -> Any:
    sent = {"way": json.dumps(way)} if way else {}
    return reached_body(fields_of([*sent.items(), *fields.items()]))


def code(answer: Any) -> str:
    assert isinstance(answer, Problem)
    return answer.code


def test_a_click_is_kept_as_the_setting_whatever_stands_in_the_box() -> None:
    assert said("clicked", "Small", "80", "lb·in", 1, "", reached="") == {
        "told": "clicked", "wrench": "Small", "reached": "80 lb·in",
    }  # fmt: skip
    assert said("clicked", "Small", "80", "lb·in", 1, "", reached="99")["reached"] == "80 lb·in"


def test_what_was_read_is_kept_in_the_unit_of_what_it_was_read_on() -> None:
    beam = json.dumps(["Beam", "lb·ft", 1, ""])

    assert said("read", reached=" 24,5 ", tool=beam) == {
        "told": "read", "wrench": "Beam", "reached": "24,5 lb·ft",
    }  # fmt: skip
    assert code(said("read", reached="", tool=beam)) == "reached-missing"
    assert code(said("read", reached="24", tool="[]")) == "tool"
    assert isinstance(said("read", reached="quite tight", tool=beam), Problem)


def test_an_adapter_parts_what_the_wrench_showed_from_what_the_bolt_got() -> None:
    assert said("clicked", "Small", "10", "N·m", 0.8, "Crow-foot") == {
        "told": "clicked", "wrench": "Small with Crow-foot", "reached": "12.5 N·m", "setting": "10 N·m",
    }  # fmt: skip
    foot = json.dumps(["Beam", "N·m", 0.8, "Crow-foot"])
    assert said("read", reached="20", tool=foot)["reached"] == "25.0 N·m"


@pytest.mark.parametrize("factor", [0, -1, float("inf"), float("nan")])
def test_a_factor_that_cannot_be_is_refused(factor: float) -> None:
    assert code(said("clicked", "Small", "10", "N·m", factor, "Crow-foot")) == "tool"


def test_a_turn_is_told_by_marks_with_the_print_or_by_a_gauge_with_what_it_showed() -> None:
    assert said("marks", "90") == {"told": "marks lined up", "reached": "90°"}
    assert said("gauge", reached="88") == {"told": "angle gauge", "reached": "88°"}
    assert code(said("gauge", reached="")) == "reached-missing"


def test_by_feel_is_said_so_and_keeps_no_value() -> None:
    assert said("feel", reached="25") == {"told": "by feel", "reached": "by feel"}


@pytest.mark.parametrize("way", [("clicked",), ("clicked", 1, 2, 3, 4, 5), ("looked",), ({},)])
def test_a_way_that_no_page_has_is_refused(way: tuple[Any, ...]) -> None:
    assert code(said(*way)) == "way"


def test_a_way_that_is_no_list_is_refused() -> None:
    assert code(reached_body(fields_of([("way", "{")]))) == "way"


def test_pages_of_earlier_versions_are_still_read() -> None:
    assert said(reached="25", reached_unit="N·m") == {"reached": "25 N·m"}
    assert said(by_feel="1") == {"reached": "by feel"}
    assert said() == {}
