"""What a card offers first, and what does not fit."""

import html
import json
import re
from typing import Any

from tests.web.conftest import Garage
from tests.web.phases.test_phases import say_route, tell


def held(garage: Garage) -> tuple[str, str]:
    bracket = garage.item("part", name="Bracket")
    return bracket, garage.item("fastener", name="Bolt", n="1", torque="9 N·m", holds="#1")


def foot(garage: Garage, item: str) -> str:
    page = garage.owner.get(f"/i/{item}").text
    return html.unescape(page[page.index("dock") if "dock" in page else page.rindex("<section") :])


def mark(garage: Garage, item: str, act: str, **said: Any) -> None:
    assert garage.owner.send(garage.mark(item, act, **said)).status_code == 200


def test_what_must_come_first_is_the_large_act_and_out_of_turn_stays_possible_and_small(
    garage: Garage,
) -> None:
    bracket, bolt = held(garage)
    shown = foot(garage, bolt)
    large = rf'<a class="act" href="/i/{bracket}">First: Bracket, 1<small>this holds it on</small></a>'
    assert re.search(large, shown)
    assert "Do it out of turn" in shown
    assert re.search(r'<button class="act-minor"[^>]*data-next', shown)
    assert not re.search(r'<button class="act"[^>]*data-next', shown)

    mark(garage, bracket, "placed")
    assert "First:" not in foot(garage, bolt)
    assert re.search(r'<button class="act"[^>]*data-next', foot(garage, bolt))


def test_what_is_asked_is_answered_by_name_until_the_marks_change(garage: Garage) -> None:
    bracket, bolt = held(garage)
    mark(garage, bolt, "tight")
    assert "It is right as it is" not in garage.owner.get(f"/i/{bolt}").text
    mark(garage, bracket, "placed")
    page = garage.owner.get(f"/i/{bolt}").text
    assert "was marked tight before #1 Bracket" in page
    said = re.search(r'value="explain"><input type="hidden" name="body" value="([^"]+)"', page)
    assert said
    body = json.loads(html.unescape(said[1])) | {"reason": "it hung on two of them"}
    person = garage.one("SELECT id FROM person WHERE name = 'Olive'")
    answer = garage.owner.post(f"/i/{bolt}/explain", verb="explain", body=json.dumps(body), person=person)
    assert answer.status_code == 302
    assert "was marked tight before" not in garage.owner.get(f"/i/{bolt}").text


def test_a_finding_that_is_in_the_way_is_to_be_decided_anything_else_comes_first(garage: Garage) -> None:
    bracket, bolt = held(garage)
    found = garage.item("finding", what="stripped thread", blocks="y", found_on="#2")
    page = garage.owner.get(f"/i/{bolt}").text
    assert re.search(rf'<a class="act" href="/i/{found}">First: decide [^<]*, 3</a>', page)
    other = page[page.index(f'<a class="first-link" href="/i/{bracket}">') :]
    assert "<b>First: #1 Bracket</b>" in other[: other.index("</a>")]


def test_the_gate_is_the_large_act_of_the_start_and_of_the_drive_until_it_is_green(garage: Garage) -> None:
    mark(garage, garage.item("part", name="Lid"), "placed")
    others = "SELECT id FROM step WHERE direction = 'on_only' AND role NOT IN ('first_start', 'move')"
    for (step,) in garage.rows(others):
        garage.owner.post(f"/i/{step}/line", verb="mark", act="done")
    gates = {"first_start": ("start", "Before first start"), "move": ("move", "Before it moves")}
    for role, (key, text) in gates.items():
        step = garage.one("SELECT id FROM step WHERE role = ?", role)
        shown = foot(garage, step)
        assert f'<a class="act" href="/b/1/gates/{key}">First: {text}</a>' in shown
        assert "Do it out of turn" in shown
        assert re.search(r'<button class="act-minor"[^>]*data-next', shown)
        garage.owner.post(f"/i/{step}/line", verb="mark", act="done")
        garage.owner.post("/b/1/engine", verb="first_start", body=json.dumps({"on": "2031-05-04"}))


def test_an_engine_that_comes_back_itself_is_asked_about_before_its_things_go_back(garage: Garage) -> None:
    say_route(garage, new_engine="no")
    pan = garage.item("part", name="Oil pan", owner="old engine")
    for verb in ("hook_up", "rise"):
        tell(garage, verb, "engine")
    assert "does the engine go together now?" not in foot(garage, pan)

    tell(garage, "set_down", "engine")
    shown = foot(garage, pan)
    assert '<a class="act" href="/b/1/engine">First: does the engine go together now?</a>' in shown
    assert "Put it back already" in shown

    tell(garage, "turn", "engine", to="together")
    assert re.search(r'<button class="act"[^>]*data-next', foot(garage, pan))


def test_a_line_that_no_act_closes_leads_to_what_does(garage: Garage) -> None:
    bolts = garage.item("fastener", name="Bolts", n="2", torque="9 N·m", one_time="no")
    mark(garage, bolts, "tight", body={"act": "tight", "reached": "9 N·m"})
    after = garage.state(bolts)["tips"]
    assert "lost piece" not in garage.owner.get(f"/i/{bolts}").text
    lost = {"verb": "count", "piece": "lost", "has_pos": "1", "pos": "2", "after": after}
    assert garage.owner.post(f"/i/{bolts}/line", **lost).status_code == 302
    page = garage.owner.get(f"/i/{bolts}").text
    assert re.search(r'<a class="act" href="#piece">\s*Say what stands in for the lost piece', page)
    assert 'id="piece"' in page
