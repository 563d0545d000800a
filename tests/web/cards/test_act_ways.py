"""How the final stage can be said to be reached: by wrench type, with nothing filled in."""

import json
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from app.core.items.items import Fastener
from app.core.torque.text import TorqueUnit
from app.core.torque.wrenches import Adapter, Wrench, WrenchType
from app.web.cards.act_ways import Ways, ways

TODAY = date(2031, 5, 4)


def wrench(name: str, kind: WrenchType = WrenchType.CLICK, **over: Any) -> Wrench:
    known: dict[str, Any] = {
        "low": Decimal(40), "high": Decimal(200), "unit": TorqueUnit.POUND_INCH, "graduation": Decimal(1),
        "checked_on": TODAY, "lever_mm": 200.0,
    }  # fmt: skip
    return Wrench(name, type=kind, **(known | over))


def found(torque: str, *owned: Wrench, adapter: Adapter | None = None) -> Ways:
    return ways(Fastener(torque=torque), owned, adapter, TODAY)


def test_a_click_wrench_is_one_tap_with_its_setting() -> None:
    got = found("80 lb·in", wrench("Small"))

    assert got.first.label == "Clicked at 80 lb·in"
    assert json.loads(got.first.value) == ["clicked", "Small", "80", "lb·in", 1.0, ""]
    assert "tool ±6 %" in got.first.detail
    assert [way.label for way in got.others] == ["By feel"]


@pytest.mark.parametrize("kind", [WrenchType.BEAM, WrenchType.DIAL, WrenchType.DIGITAL])
def test_what_shows_a_value_is_typed_and_offers_no_tap(kind: WrenchType) -> None:
    got = found("80 lb·in", wrench("Pointer", kind))

    assert json.loads(got.first.value) == ["read"]
    assert json.loads(got.tools[0][0]) == ["Pointer", "lb·in", 1.0, ""]
    assert not [way for way in got.others if "Clicked" in way.label]


def test_a_click_wrench_beside_a_beam_leaves_the_box_for_the_beam() -> None:
    got = found("80 lb·in", wrench("Small"), wrench("Beam", WrenchType.BEAM, graduation=Decimal(2)))

    assert {json.loads(got.first.value)[0], *(json.loads(way.value)[0] for way in got.others)} >= {
        "clicked",
        "feel",
    }
    assert any("Beam" in label for _, label in got.tools)


def test_a_turn_is_told_by_marks_with_the_printed_angle_or_typed_from_a_gauge() -> None:
    got = found("20 N·m + 90°", wrench("Small"))

    assert (got.first.label, json.loads(got.first.value)) == ("Marks lined up at 90°", ["marks", "90"])
    assert got.save is not None
    assert json.loads(got.save.value) == ["gauge"]
    assert got.tools == ()


def test_a_printed_range_of_turns_has_no_angle_to_line_marks_up_with() -> None:
    assert json.loads(found("20 N·m + 85-95°").first.value) == ["gauge"]


def test_without_a_wrench_that_fits_the_value_is_typed_on_another_one_in_the_unit_of_the_print() -> None:
    for got in (found("25 lb·ft"), found("300 N·m", wrench("Small")), found("")):
        assert json.loads(got.first.value) == ["read"]
        assert json.loads(got.others[-1].value) == ["feel"]
    assert json.loads(found("25 lb·ft").tools[0][0]) == ["another wrench", "lb·ft", 1, ""]


def test_an_adapter_changes_what_the_click_is_and_says_so() -> None:
    got = found("80 lb·in", wrench("Small"), adapter=Adapter("Crow-foot", 50.0, 0.0))
    _, name, setting, _, factor, on_it = json.loads(got.first.value)

    assert (name, setting, on_it) == ("Small", "64", "Crow-foot")
    assert factor == pytest.approx(0.8)  # lever / (lever + adapter): 200 / 250


def test_an_overdue_check_stands_with_the_wrench_that_is_offered() -> None:
    assert "checked" in found("80 lb·in", wrench("Small", checked_on=None)).first.detail
    assert "checked" not in found("80 lb·in", wrench("Small")).first.detail


def test_a_pointer_that_fits_best_comes_before_a_click_that_is_overdue() -> None:
    beam = wrench("Beam", WrenchType.BEAM, graduation=Decimal(2), high=Decimal(150))
    got = found("80 lb·in", wrench("Small", checked_on=None), beam)

    assert json.loads(got.first.value) == ["read"]
    assert [json.loads(way.value)[0] for way in got.others] == ["clicked", "feel"]
