import re
from html import unescape

from werkzeug.test import TestResponse

from tests.web.conftest import Garage

PAGE = "/b/1/wrenches"


SMALL = {
    "name": "Small click",
    "low": "5",
    "high": "25",
    "unit": "N·m",
    "graduation": "0.5",
    "type": "click",
    "lever_mm": "250",
    "checked_on": "2031-01-02",
}


def add(garage: Garage, role: str = "owner", **over: str) -> TestResponse:
    answer: TestResponse = getattr(garage, role).post(PAGE, **{**SMALL, **over})
    return answer


def words(answer: TestResponse) -> str:
    """Return what a page says, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def card(garage: Garage, torque: str = "16 N·m", query: str = "") -> str:
    item = garage.item("fastener", name="Cover", torque=torque)
    return words(garage.owner.get(f"/i/{item}{query}"))


def test_pound_inches_are_boxed_unlike_pound_feet(garage: Garage) -> None:
    add(garage, low="40", high="240", unit="lb·in", graduation="2")
    assert "Small click : set 142 lb·in INCH pounds" in card(garage)


def test_an_angle_gauge_is_in_degrees_and_holds_no_torque(garage: Garage) -> None:
    add(garage, type="angle", low="1", high="360", graduation="1", lever_mm="")
    assert "1 to 360°, every 1° · angle gauge" in words(garage.owner.get(PAGE))
    assert "holds 16 N·m. Borrow one" in card(garage)
