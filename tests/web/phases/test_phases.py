"""The pages of routes and milestones."""

import html
import json
import re
from typing import Any

from tests.web.conftest import Browser, Garage

ROUTE = {"out": "engine_up", "back": "engine_up", "new_engine": "yes", "gearbox": "yes"}
PAGE = "/b/1/engine"


def say_route(garage: Garage, **over: str) -> Any:
    page = garage.owner.get("/b/1/route").text
    rev = re.search(r'name="rev"[^>]*value="(\d+)"', page)
    assert rev
    return garage.owner.post("/b/1/route", rev=rev[1], **(ROUTE | over))


def tell(garage: Garage, verb: str, *units: str, browser: Browser | None = None, **body: Any) -> Any:
    page = (browser or garage.owner).get(PAGE).text
    after = re.findall(r'name="after" value="([0-9a-f]{32})"', page)
    sent = json.dumps({"units": units, **body})
    return (browser or garage.owner).post(PAGE, verb=verb, body=sent, after=sorted(set(after)))


def where(garage: Garage) -> list[tuple[str, str]]:
    text = garage.owner.get(PAGE).text
    part = text[text.index('data-part="where"') : text.index("</ul>", text.index('data-part="where"'))]
    return re.findall(r"<b>([^<]+)</b>: ([^<]+)", part)


def test_an_engine_goes_out_and_another_in_and_each_act_says_who(garage: Garage) -> None:
    assert say_route(garage).status_code == 302
    assert tell(garage, "hook_up", "old").status_code == 302
    assert tell(garage, "rise", "old", browser=garage.helper).status_code == 302
    assert tell(garage, "set_down", "old").status_code == 302

    assert where(garage)[0] == ("Old engine", "on the stand")
    page = garage.owner.get(PAGE).text
    assert "New engine in its place" in page
    assert "First: Before it goes in" in page


def test_a_red_check_stands_first_and_going_on_keeps_what_was_open_and_why(garage: Garage) -> None:
    say_route(garage)
    page = garage.owner.get(PAGE).text
    assert "First: Before hook-up" in page
    named = re.search(r'data-part="next".*?name="body" value="([^"]+)"', page, re.DOTALL)
    assert named
    body = json.loads(html.unescape(named[1]))
    assert "ceiling" in body["open"]

    assert tell(garage, "hook_up", "old", open=body["open"], reason="it hung already").status_code == 302
    stored = json.loads(garage.one("SELECT body FROM journal WHERE verb = 'hook_up'"))
    assert (stored["open"], stored["reason"]) == (body["open"], "it hung already")
    assert f"{len(body['open'])} open then" in garage.owner.get(PAGE).text


def test_the_same_from_two_phones_is_one_line_with_two_names_and_differing_ones_are_settled(
    garage: Garage,
) -> None:
    say_route(garage)
    for browser in (garage.owner, garage.helper):
        body = json.dumps({"units": ["old"]})
        assert browser.post(PAGE, verb="rise", body=body).status_code == 302
    assert garage.owner.get(PAGE).text.count('row-title">Old engine out of its place') == 1

    garage.helper.post(PAGE, verb="landed", body=json.dumps({"units": ["old"]}))
    page = garage.owner.get(PAGE).text
    assert "Two people say different things" in page
    sides = re.findall(r'name="verb" value="choose"><input type="hidden" name="body" value="([^"]+)"', page)
    chosen = html.unescape(sides[0])
    after = sorted(set(re.findall(r'name="after" value="([0-9a-f]{32})"', page)))
    assert garage.owner.post(PAGE, verb="choose", body=chosen, after=after).status_code == 302
    assert "This is true" not in garage.owner.get(PAGE).text


def test_an_undone_milestone_is_as_if_it_had_not_been(garage: Garage) -> None:
    say_route(garage)
    tell(garage, "rise", "old")
    line = garage.one("SELECT id FROM journal WHERE verb = 'rise'")
    after = [line]
    assert (
        garage.owner.post(PAGE, verb="undo", body=json.dumps({"line": line}), after=after).status_code == 302
    )
    assert where(garage)[0] == ("Old engine", "in the vehicle")


def test_what_cannot_have_been_is_kept_and_said(garage: Garage) -> None:
    say_route(garage)
    assert tell(garage, "landed", "new").status_code == 302
    assert "cannot have been: it is not in the vehicle" in garage.owner.get(PAGE).text


def test_an_onlooker_sees_where_it_is_and_no_button_and_a_helper_changes_no_route(garage: Garage) -> None:
    say_route(garage)
    assert "<button" not in garage.onlooker.get(PAGE).text
    assert garage.helper.get("/b/1/route").status_code == 403


def test_the_vehicle_comes_apart_until_somebody_starts_putting_back_which_can_be_undone(
    garage: Garage,
) -> None:
    say_route(garage)
    assert tell(garage, "turn", "vehicle", to="apart").status_code == 302
    item = garage.item("part", name="Radiator", owner="vehicle")
    assert "Go on taking off" in garage.owner.get(f"/i/{item}").text
    assert '<a class="act" href="/b/1/take-off">' in garage.owner.get("/b/1/bay").text
    page = garage.owner.get("/b/1/put-back").text
    assert "Still coming apart. Start putting back" in page

    assert tell(garage, "turn", "vehicle", to="together").status_code == 302
    assert "Still coming apart. Start putting back" not in garage.owner.get("/b/1/put-back").text
    assert "Go on taking off" not in garage.owner.get(f"/i/{item}").text
    line = garage.one("SELECT id FROM journal WHERE verb = 'turn' ORDER BY seq DESC")
    garage.owner.post(PAGE, verb="undo", body=json.dumps({"line": line}), after=[line])
    assert "Still coming apart. Start putting back" in garage.owner.get("/b/1/put-back").text


def out_and_back(garage: Garage, km: str = "") -> None:
    """Mount nuts off and on again, and a start on the gate, as before milestones were told."""
    lift = garage.one("SELECT id FROM step WHERE role = 'lift'")
    nuts = garage.item("fastener", name="Mount nuts", n="2", step=lift, torque="45 N·m")
    body = json.dumps({"on": "2031-05-04"} | ({"km": km} if km else {}))
    garage.owner.post("/b/1/gates/start", verb="start", body=body)
    assert garage.owner.send(garage.mark(nuts, "tight")).status_code == 200


def test_what_seems_to_have_been_is_asked_once_and_told_only_when_the_owner_says_so(garage: Garage) -> None:
    out_and_back(garage)
    say_route(garage)
    page = garage.owner.get(PAGE).text
    assert "Was it so?" in page
    assert "New engine in its place</b>: a start was written down" in page
    assert "It started</b>: a start was written down" in page
    assert "Was it so?" not in garage.helper.get(PAGE).text
    assert where(garage)[0] == ("Old engine", "in the vehicle")

    assert garage.owner.post(f"{PAGE}/proposed", so="yes").status_code == 302
    assert where(garage)[:2] == [("Old engine", "on the stand"), ("New engine", "in the vehicle")]
    assert "cannot have been" not in garage.owner.get(PAGE).text
    assert "Was it so?" not in garage.owner.get(PAGE).text


def test_what_was_not_so_is_not_asked_again(garage: Garage) -> None:
    out_and_back(garage)
    say_route(garage)
    lines = garage.one("SELECT count(*) FROM journal WHERE verb = 'rise'")
    assert garage.owner.post(f"{PAGE}/proposed", so="no").status_code == 302
    assert "Was it so?" not in garage.owner.get(PAGE).text
    assert garage.one("SELECT count(*) FROM journal WHERE verb = 'rise'") == lines == 0


def test_a_start_that_was_told_before_keeps_its_day_and_counter_and_counts_once(garage: Garage) -> None:
    out_and_back(garage, km="120000")
    say_route(garage)
    asked = garage.owner.get("/b/1/rechecks").text.count("at 120050 km")
    assert asked > 0
    assert garage.owner.post(f"{PAGE}/proposed", so="yes").status_code == 302
    body = json.loads(garage.one("SELECT body FROM journal WHERE verb = 'first_start'"))
    assert (body["on"], body["km"]) == ("2031-05-04", "120000")
    assert garage.owner.get("/b/1/rechecks").text.count("at 120050 km") == asked


def test_a_form_that_answers_nothing_is_refused_and_asks_again(garage: Garage) -> None:
    out_and_back(garage)
    say_route(garage)
    answer = garage.owner.post(f"{PAGE}/proposed")
    assert answer.status_code == 422
    assert "Say whether it was so." in answer.text
    assert "Was it so?" in garage.owner.get(PAGE).text


def test_a_second_look_is_taken_again_on_the_card_once_the_engine_was_out_again(garage: Garage) -> None:
    say_route(garage)
    strap = garage.item(
        name="Engine strap",
        type="ground strap",
        critical="y",
        end_label=["block", "frame"],
        end_owner=["new engine", "vehicle"],
    )
    for verb, unit in (("hook_up", "old"), ("rise", "old"), ("set_down", "old"), ("lift_in", "new")):
        tell(garage, verb, unit)
    assert garage.owner.send(garage.mark(strap, "routed")).status_code == 200
    look(garage, strap)
    assert "double-check it again" not in garage.owner.get(f"/i/{strap}").text

    for verb in ("landed", "hook_up", "rise", "set_down", "lift_in", "landed"):
        tell(garage, verb, "new")
    page = garage.helper.get(f"/i/{strap}").text
    assert "was double-checked before the engine was out again" in page
    assert 'name="act" value="checked"' in page

    look(garage, strap)
    assert "before the engine was out again" not in garage.helper.get(f"/i/{strap}").text


def look(garage: Garage, item: str) -> None:
    """Take a second look by the form that the helper's card shows."""
    page = garage.helper.get(f"/i/{item}").text
    nth = re.search(r'name="round" value="(\d+)"', page)
    assert nth
    after = garage.state(item)["tips"]
    assert (
        garage.helper.post(
            f"/i/{item}/line", verb="mark", act="checked", after=after, round=nth[1]
        ).status_code
        == 302
    )
