"""What can be done now, by who and what is here."""

import re

import pytest

from tests.web.conftest import Garage


def ready(garage: Garage, query: str = "") -> list[str]:
    """Return the numbers of the items in the ready list."""
    page = garage.owner.get("/b/1/now" + query).text.partition("Good first jobs")[0]
    return re.findall(r"row-title\">#(\d+) ", page)


def reasons(garage: Garage, query: str = "") -> str:
    return garage.owner.get("/b/1/now" + query).text.partition("cannot be done yet")[2]


def step(garage: Garage, height: str, people: int = 1) -> str:
    garage.owner.post(
        "/b/1/steps", name=f"Work {height}", height=height, people=str(people), minutes="40", direction="both"
    )
    return str(garage.one("SELECT id FROM step WHERE name = ?", f"Work {height}"))


def test_what_is_ready_and_what_is_not_stand_with_their_reasons(garage: Garage) -> None:
    starter = garage.item("part", name="Starter")
    garage.item("part", name="Cover")
    garage.describe(garage.one("SELECT id FROM item WHERE name = 'Cover'"), name="Cover", covers="#1")
    assert ready(garage) == ["1"]
    assert "behind: #1 Starter" in reasons(garage)

    garage.owner.send(garage.mark(starter, "placed"))
    assert ready(garage) == ["2"]


def test_the_filter_stands_in_the_address_and_says_what_is_missing(garage: Garage) -> None:
    garage.item("part", name="Shaft", step=step(garage, "stands", people=2))
    assert ready(garage, "?people=2&height=stands") == ["1"]
    assert "needs the vehicle on stands" in reasons(garage, "?people=2&height=wheels")
    assert "needs two people" in reasons(garage, "?people=1&height=stands")
    assert "takes 40 minutes, you have 15" in reasons(garage, "?people=2&height=stands&minutes=15")
    page = garage.owner.get("/b/1/now?people=2&height=stands&minutes=40").text
    for field, value in (("people", "2"), ("minutes", "40")):
        assert f'name="{field}" value="{value}" checked' in page
    assert '<option value="stands" selected>' in page


def test_as_it_is_means_how_it_stood_at_the_last_mark(garage: Garage) -> None:
    garage.item("part", name="Hood", step=step(garage, "wheels"))
    garage.item("part", name="Shaft", step=step(garage, "stands"))
    assert ready(garage) == ["2"]
    assert "as it is (on stands)" in garage.owner.get("/b/1/now").text
    assert "needs the vehicle on its wheels" in reasons(garage)


@pytest.mark.parametrize(
    "query", ["?people=0", "?people=x&height=moon&minutes=-3", "?from=-5&held=9999999999"]
)
def test_a_filter_that_is_not_on_offer_counts_as_not_said(garage: Garage, query: str) -> None:
    garage.item("part", name="Pump")
    assert ready(garage, query) == ["1"]


def test_what_is_undecided_says_so(garage: Garage) -> None:
    pump = garage.item("part", name="Pump")
    garage.owner.post(f"/i/{pump}/line", verb="dispose", destiny="undecided", reason="scored")
    assert ready(garage) == []
    assert "undecided" in reasons(garage)


def test_a_helper_is_offered_three_short_things_in_zones_of_their_own(garage: Garage) -> None:
    zones = [row[0] for row in garage.rows("SELECT id FROM zone ORDER BY position LIMIT 4")]
    for i, zone in enumerate([*zones, zones[0]]):
        garage.item("part", name=f"Part {i}", zone=zone)
    offered = garage.owner.get("/b/1/now").text.partition("Good first jobs")[2].partition("</section>")[0]
    assert re.findall(r"row-title\">#(\d+) ", offered) == ["5", "4", "3"]


def test_long_lists_come_page_by_page_with_each_line_once(garage: Garage) -> None:
    for i in range(18):
        garage.item("part", name=f"Part {i}")
    for i in range(2, 18):
        garage.describe(garage.one("SELECT id FROM item WHERE number = ?", i + 1), name=f"P{i}", covers="#1")
    assert ready(garage, "?people=2") == ["2", "1"]
    pages = [re.findall(r"row-title\">#(\d+) ", reasons(garage, f"?people=2&held={at}")) for at in (0, 15)]
    assert min(map(len, pages)) > 0
    assert sum(map(len, pages)) == 16
    assert len({*pages[0], *pages[1]}) == 16
    assert "people=2&amp;held=15" in garage.owner.get("/b/1/now?people=2").text


def test_a_step_of_the_way_back_is_behind_the_step_it_waits_for(garage: Garage) -> None:
    garage.item("part", name="Pump")
    assert "behind: Fill engine oil" in reasons(garage, "?people=3&height=wheels")


def test_everybody_who_was_let_in_can_ask_what_to_do(garage: Garage) -> None:
    garage.item("part", name="Pump")
    for browser in (garage.helper, garage.onlooker):
        assert "#1 Pump" in browser.get("/b/1/now").text
    assert garage.owner.get("/b/7/now").status_code == 404


def test_what_was_put_back_during_removal_is_to_be_taken_out_again(garage: Garage) -> None:
    steps = [row[0] for row in garage.rows("SELECT id FROM step WHERE direction = 'both' LIMIT 2")]
    eye = garage.item("part", name="Lifting eye", step=steps[0])
    garage.owner.send(garage.mark(eye, "placed"))
    assert ready(garage, "?people=3&height=wheels") == []
    rev = str(garage.one("SELECT rev FROM item WHERE id = ?", eye))
    form = {"what": "during", "step": steps[1], "reason": "the crane hangs on it", "rev": rev}
    assert garage.owner.post(f"/i/{eye}/exceptions", **form).status_code == 302
    page = garage.owner.get("/b/1/now?people=3&height=wheels").text
    assert "next: take it out again" in page
    assert "put back during removal, comes out again in step" in garage.owner.get("/b/1/put-back").text
    for act, following in (("off", "next: in position"), ("placed", "")):
        garage.owner.send(garage.mark(eye, act))
        page = garage.owner.get("/b/1/now?people=3&height=wheels").text
        assert ("#1 Lifting eye" in page) is bool(following)
        assert following in page


def test_a_helper_finds_good_first_jobs_before_all_else_with_a_word_of_welcome(garage: Garage) -> None:
    garage.item("part", name="Pump")
    page = garage.helper.get("/b/1/now").text
    assert re.search(r"Hello \w+\. Pick one", page)
    assert page.index("Good first jobs") < page.index("People here") < page.index("Ready <")
    owners = garage.owner.get("/b/1/now").text
    assert "Hello" not in owners
    assert owners.index("People here") < owners.index("Good first jobs")
