"""The plan of putting back."""

import re

import pytest

from app.core.builds.work import jobs_of
from app.store.loading import load
from tests.web.conftest import Garage


def step(garage: Garage, begins: str) -> str:
    return str(garage.one("SELECT id FROM step WHERE name LIKE ? || '%'", begins))


def test_whoever_only_looks_may_see_it(busy: Garage) -> None:
    assert busy.onlooker.get("/b/1/plan").status_code == 200
    assert busy.stranger.get("/b/1/plan").status_code == 401
    assert busy.owner.get("/b/2/plan").status_code == 404


def test_the_height_at_which_the_vehicle_stands_counts(garage: Garage) -> None:
    garage.item("part", name="Downpipe", step=step(garage, "Exhaust downpipe"))
    garage.delete_step(step(garage, "Settle mounts"))
    assert "1 change of height" in garage.owner.get("/b/1/plan?height=stands").text
    assert "2 changes of height" in garage.owner.get("/b/1/plan?height=wheels").text
    assert "1 change of height" in garage.owner.get("/b/1/plan?height=moon").text


@pytest.mark.parametrize("people", ["0", "-1", "x", ""])
def test_nobody_here_is_said_and_the_rest_of_the_plan_stays(busy: Garage, people: str) -> None:
    page = busy.owner.get(f"/b/1/plan?people={people}").text
    assert "Nobody is here to do it: say at least one person." in page
    assert "changes of height, proved fewest" in page


def test_a_step_for_more_than_are_here_is_named(busy: Garage) -> None:
    page = busy.owner.get("/b/1/plan?people=1").text
    assert "Settle and tighten mounts, exhaust and shafts: Needs 2 people, 1 is here." in page
    assert "Needs" not in busy.owner.get("/b/1/plan?people=999999999").text


def test_only_what_holds_joins_or_covers_waits_on_demand(garage: Garage) -> None:
    for name, begins in (("Battery", "Battery off"), ("Tray", "Air cleaner")):
        zone = str(garage.one("SELECT id FROM zone ORDER BY position"))
        garage.item("part", name=name, step=step(garage, begins), zone=zone)
    wait = r"Battery on: <b>waits</b> for Battery tray, air cleaner"
    assert re.search(wait, garage.owner.get("/b/1/plan").text)
    assert not re.search(wait, garage.owner.get("/b/1/plan?order=held").text)


def test_things_that_hold_each_other_in_a_circle_are_named(garage: Garage) -> None:
    a, b = garage.item("part", name="Cover"), garage.item("part", name="Frame")
    with garage.folder.database.unit_of_work() as session:
        connection = session.connection()
        for pair in ((a, b), (b, a)):
            connection.exec_driver_sql("INSERT INTO edge VALUES (?, 'holds', ?)", pair)
    garage.item("part")
    page = garage.owner.get("/b/1/plan").text
    assert "These wait for each other" in page
    assert "Cover" in page
    assert "Frame" in page


def test_an_empty_build_has_nothing_to_plan(garage: Garage) -> None:
    page = garage.owner.get("/b/1/plan").text
    assert "there is nothing to plan" in page
    assert '<svg class="plan-graph' not in page


def test_a_step_that_shares_its_zone_says_so_to_the_split(garage: Garage) -> None:
    each = step(garage, "Air cleaner")
    garage.item("part", name="Air duct", step=each, zone=garage.one("SELECT id FROM zone"))
    form = garage.rows("SELECT name, height, minutes, direction, rev FROM step WHERE id = ?", each)[0]
    name, height, minutes, direction, rev = form
    sent = {"name": name, "height": height, "people": 1, "minutes": minutes, "direction": direction}
    answer = garage.owner.post(f"/steps/{each}", what="edit", rev=rev, shares_zone="y", **sent)
    assert answer.status_code == 302
    with garage.folder.database.reading() as session:
        build = load(session, 1, 0)
    assert build is not None
    assert [work.name for work in jobs_of(build) if work.job.shares_zone] == [build.step[each].name_back]
