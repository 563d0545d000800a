from typing import Any

from werkzeug.test import TestResponse

from tests.web.conftest import Garage


def line(garage: Garage, item: str, role: str = "owner", **form: Any) -> TestResponse:
    """Send one of the card's forms, in sight of all that is known."""
    state = garage.state(item)
    browser = getattr(garage, role)
    answer: TestResponse = browser.post(f"/i/{item}/line", **{"verb": "mark", "after": state["tips"], **form})
    return answer


def acts(garage: Garage, item: str) -> list[str]:
    return [position["act"] for position in garage.state(item)["positions"]]


def critical(garage: Garage) -> str:
    """Return a critical connection that the owner has put back, waiting for a second look."""
    item = garage.item(name="Ground strap", type="ground strap", critical="y")
    assert line(garage, item, act="routed").status_code == 302
    return item


def test_a_second_look_by_the_doer_is_refused_with_the_two_ways_out(garage: Garage) -> None:
    item = critical(garage)
    answer = line(garage, item, act="checked")
    assert answer.status_code == 422
    assert "another person" in answer.text
    assert "alone" in answer.text
    assert acts(garage, item) == ["routed"]


def test_a_second_look_by_another_person_closes_the_line(garage: Garage) -> None:
    item = critical(garage)
    assert line(garage, item, "helper", act="checked").status_code == 302
    assert acts(garage, item) == ["checked"]
    assert "Closed" in garage.owner.get(f"/i/{item}").text


def test_a_second_look_may_be_another_person_s_on_the_same_phone(garage: Garage) -> None:
    item = critical(garage)
    lou = garage.one("SELECT id FROM person WHERE name = 'Lou'")
    assert line(garage, item, act="checked", person=lou).status_code == 302
    assert garage.state(item)["positions"][0]["checker"] == lou


def test_a_second_look_alone_after_a_break_is_accepted_and_marked_as_such(garage: Garage) -> None:
    item = critical(garage)
    assert line(garage, item, act="checked", alone="1").status_code == 302
    assert (acts(garage, item), garage.state(item)["positions"][0]["alone"]) == (["checked"], True)
