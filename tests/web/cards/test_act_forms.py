import json
import re
from html import unescape
from types import SimpleNamespace
from typing import Any, cast

from werkzeug.test import TestResponse

from app.web.cards.act_forms import closing_text
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


def test_the_wrench_that_was_used_is_kept_with_the_value(garage: Garage) -> None:
    add(garage, checked_on="")
    item = bolts(garage, torque="16 N·m")
    line(garage, item, act="hand_tight")
    tap = json.dumps(["clicked", "Small click", "16.0", "N·m", 1.0, ""])
    line(garage, item, act="tight", way=tap, reached="")
    kept = garage.state(item)["positions"][0]
    assert (kept["wrench"], kept["told"], kept["reached"]) == ("Small click", "clicked", "16.0 N·m")
    assert "clicked at 16.0 N·m, with Small click" in page(garage, item)


def test_the_large_button_is_the_click_itself_and_nothing_is_filled_in(garage: Garage) -> None:
    add(garage, checked_on="")
    item = bolts(garage, torque="16 N·m")
    line(garage, item, act="hand_tight")
    shown = page(garage, item)
    large = re.search(r'<button class="act"[^>]*name="way" value="([^"]*)">([^<]*)', shown)

    assert large
    assert json.loads(unescape(large[1])) == ["clicked", "Small click", "16.0", "N·m", 1.0, ""]
    assert large[2] == "Clicked at 16.0 N·m"
    assert re.search(r'name="reached" value=""', shown)


def test_a_click_with_an_adapter_keeps_the_setting_beside_what_the_bolt_got(garage: Garage) -> None:
    add(garage, checked_on="")
    adapter = add_adapter(garage)
    item = bolts(garage, torque="16 N·m")
    line(garage, item, act="hand_tight")
    shown = unescape(garage.owner.get(f"/i/{item}?adapter={adapter}").text)
    tap = re.search(r'name="way" value="(\["clicked".*?\])">', shown)

    assert tap
    line(garage, item, act="tight", way=tap[1], reached="")
    kept = garage.state(item)["positions"][0]
    assert kept["setting"] == "13.5 N·m"
    assert kept["reached"] == "16.2 N·m"
    assert kept["wrench"] == "Small click with Crow-foot"
    assert "clicked at 13.5 N·m, 16.2 N·m at the bolt" in page(garage, item)
    assert "Closed." in page(garage, item)


def test_a_new_piece_is_asked_for_where_it_is_used_once_only(garage: Garage) -> None:
    item = bolts(garage, one_time="yes")
    line(garage, item, act="hand_tight")
    assert "only to draw it up" in page(garage, item)
    line(garage, item, act="stage", stage=1, piece="tool")
    line(garage, item, act="tight", reached="90", reached_unit="°", piece="renewed")
    assert {p["piece"] for p in garage.state(item)["positions"]} == {"renewed"}
    assert "Closed." in page(garage, item)


def said(state_key: str = "on", *, is_open: bool) -> str:
    return closing_text(cast("Any", SimpleNamespace(is_open=is_open, state_key=state_key)))


def test_what_stands_where_no_act_is_left_says_why_and_where_to_look() -> None:
    assert said(is_open=False) == "Closed. Nothing is left to do here."
    assert said(is_open=True).endswith("beside its state above.")
    assert said(is_open=True, state_key="disagree").startswith("Two people say different things")


def test_the_doer_cannot_be_chosen_for_the_second_look(garage: Garage) -> None:
    item = garage.item(name="Ground strap", type="ground strap", critical="y")
    assert 'class="choices who"' in page(garage, item)
    line(garage, item, act="routed")
    again = garage.owner.get(f"/i/{item}/form").text
    assert again.count(" disabled>") == again.count("<small>did it</small>") == 1
