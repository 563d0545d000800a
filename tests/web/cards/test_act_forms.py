from typing import Any

from werkzeug.test import TestResponse

from tests.web.conftest import Garage
from tests.web.torque.test_wrenches import add

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


def test_the_wrench_that_was_used_is_kept_with_the_value(garage: Garage) -> None:
    add(garage, checked_on="")
    item = bolts(garage, torque="16 N·m")
    line(garage, item, act="hand_tight")
    assert "<option>Small click</option>" in page(garage, item).replace(" selected", "")
    line(garage, item, act="tight", reached="16", reached_unit="N·m", wrench="Small click")
    assert garage.state(item)["positions"][0]["wrench"] == "Small click"
    assert "16 N·m, with Small click" in page(garage, item)


def test_a_new_piece_is_asked_for_where_it_is_used_once_only(garage: Garage) -> None:
    item = bolts(garage, one_time="yes")
    line(garage, item, act="hand_tight")
    assert "only to pull it together" in page(garage, item)
    line(garage, item, act="stage", stage=1, piece="tool")
    line(garage, item, act="tight", reached="90", reached_unit="°", piece="renewed")
    assert {p["piece"] for p in garage.state(item)["positions"]} == {"renewed"}
    assert "Closed." in page(garage, item)
