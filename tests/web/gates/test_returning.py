"""Stopping, and coming back."""

import json
from datetime import timedelta

import pytest

from tests.web.conftest import NOW, Garage


def stop(garage: Garage, note: str = "", **form: str) -> None:
    answer = garage.owner.post("/b/1/stop", verb="stop", body="{}", **{"body.note": note}, **form)
    assert answer.status_code == 302


def mark(garage: Garage, item: str, act: str) -> None:
    assert garage.owner.send(garage.mark(item, act)).status_code == 200


def test_stopped_here_is_one_tap_on_the_lists_and_on_the_card(garage: Garage) -> None:
    item = garage.item("part", name="Battery")
    for page in ("/b/1/put-back", "/b/1/take-off", f"/i/{item}"):
        assert "Stopped here</button>" in garage.owner.get(page).text, page
    stop(garage, "the left mount is next", back="/b/1/put-back")
    assert json.loads(garage.one("SELECT body FROM journal WHERE verb = 'stop'")) == {
        "note": "the left mount is next"
    }
    for page in ("/b/1/status", "/b/1/coming-back"):
        text = garage.owner.get(page).text
        assert "Olive stopped here" in text, page
        assert "the left mount is next" in text, page


def test_a_stop_from_a_phone_out_of_reach_lands_like_any_line(garage: Garage) -> None:
    build = garage.one("SELECT id FROM build")
    entry = garage.mark(
        "a" * 32, "off", subject=f"build:{build}", verb="stop", body={"note": "dark"}, after=[]
    )
    assert garage.helper.send(entry).status_code == 200
    assert "Hank stopped here" in garage.owner.get("/b/1/status").text


def test_whoever_works_again_has_come_back(garage: Garage) -> None:
    item = garage.item("part", name="Battery")
    stop(garage)
    mark(garage, item, "placed")
    assert "stopped here" not in garage.owner.get("/b/1/status").text


def test_the_last_three_acts_come_first_with_names_and_how_long_ago(garage: Garage) -> None:
    items = [garage.item("part", name=f"Part {n}") for n in range(4)]
    mark(garage, items[0], "placed")
    page = garage.owner.get("/b/1/coming-back").text
    last = page[page.index("Done last") :]
    last = last[: last.index("</section>")]
    assert [f"Part {n}" in last for n in range(4)] == [True, False, True, True]
    assert last.index("Part 0") < last.index("Part 3") < last.index("Part 2")
    assert "Olive: in position, just now" in last


def test_hand_tight_and_aside_stand_first_in_the_list_for_who_comes_back_and_not_for_who_goes_on(
    garage: Garage,
) -> None:
    bolts = garage.item("fastener", name="Cover bolts", n="2", torque="9 N·m", thread="M6x1x20")
    mark(garage, bolts, "hand_tight")
    assert "Unfinished" not in garage.owner.get("/b/1/put-back").text
    stop(garage)
    page = garage.owner.get("/b/1/put-back").text
    unfinished = page[page.index("Unfinished: look here first") : page.index('class="put-back"')]
    assert f'href="/i/{bolts}"' in unfinished


def test_coming_back_lists_half_done_undecided_and_what_has_aged(
    busy: Garage, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.web.gates.returning.now", lambda: NOW + timedelta(days=425))
    page = busy.owner.get("/b/1/coming-back").text
    headings = ["Done last", "Hand-tight, aside", "Half done", "Undecided", "What has aged in 1"]
    places = [page.index(heading) for heading in headings]
    assert places == sorted(places)
    assert ["Fuel</b>" in page, "Brake and clutch fluid</b>" in page] == [True, False]
    assert "The last line was written 1" in page


def test_an_empty_build_has_nothing_to_come_back_to(garage: Garage) -> None:
    assert "Nothing has been done yet" in garage.owner.get("/b/1/coming-back").text


def test_coming_back_lists_what_is_away_the_overdue_first_and_not_what_came_back(
    garage: Garage, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.web.site.context.now", lambda: NOW)
    heads, radiator, starter = (garage.item("part", name=name) for name in ("Heads", "Radiator", "Starter"))
    day = NOW.astimezone().date()
    for item, whom, due in (
        (radiator, "", ""),
        (heads, "the machine shop", (day + timedelta(days=8)).isoformat()),
        (starter, "the electrician", ""),
    ):
        answer = garage.owner.post(
            f"/i/{item}/outstanding", category="away", need="clean", count="1", at_whom=whom, due=due
        )
        assert answer.status_code == 302, answer.text
    back = garage.one("SELECT id FROM outstanding WHERE at_whom = ?", "the electrician")
    garage.owner.post(f"/outstanding/{back}/done", rev="1")
    page = garage.owner.get("/b/1/coming-back").text
    away = page[page.index("<h2>Away") :]
    away = away[: away.index("</section>")]
    assert away.index("Heads") < away.index("Radiator")
    assert "at the machine shop, due" in away
    assert "on your own bench" in away
    assert "Starter" not in away
