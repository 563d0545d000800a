"""Photos over the whole screen: by links alone, from one to the next, and back to where they belong."""

import html
import re

import pytest

from tests.web.conftest import Garage


def photographed(garage: Garage, times: int) -> str:
    """Return a part with some photos of it."""
    part = garage.item("part", name="Pump")
    for seed in range(times):
        entry = garage.capture(subject=f"item:{part}", item="f" * 31 + str(seed))
        assert garage.owner.send(entry, garage.photo()).status_code == 200
    return part


def links(page: str) -> dict[str, str]:
    """Return where the marks of the page lead, by their words."""
    found = re.findall(
        r'<a class="viewer-mark[^>]*href="([^"]*)"([^>]*)>.*?<span>(\w+)</span>', page, re.DOTALL
    )
    return {word: html.unescape(href) for href, more, word in found if "aria-disabled" not in more}


def test_a_photo_leads_to_the_one_beside_it_and_back_to_its_card(garage: Garage) -> None:
    part = photographed(garage, 3)
    photos = [row[0] for row in garage.rows("SELECT photo_id FROM shows WHERE subject = ?", f"item:{part}")]
    at = f"/i/{part}/photos"
    for n, beside in ((1, {"Next": 2}), (2, {"Previous": 1, "Next": 3}), (3, {"Previous": 2})):
        page = garage.helper.get(f"{at}/{n}").text
        marks = links(page)
        assert {w: to for w, to in marks.items() if w in {"Previous", "Next"}} == {
            word: f"{at}/{other}" for word, other in beside.items()
        }
        assert marks["Back"] == f"/i/{part}"
        assert f"Photo {n} of 3: #1 Pump" in page
        (shown,) = re.findall(r'src="/p/(\w+)\.jpg"', page)
        assert shown in photos


def test_a_photo_grows_and_shrinks_by_links_to_its_largest_and_its_least(garage: Garage) -> None:
    part = photographed(garage, 1)
    at = f"/i/{part}/photos/1"
    sizes = {
        "": {"Larger": "?zoom=2"},
        "?zoom=2": {"Smaller": "?zoom=1", "Larger": "?zoom=4"},
        "?zoom=4": {"Smaller": "?zoom=2"},
        "?zoom=3": {"Larger": "?zoom=2"},
    }
    for asked, offered in sizes.items():
        marks = links(garage.helper.get(at + asked).text)
        assert {w: to for w, to in marks.items() if w in {"Smaller", "Larger"}} == {
            word: at + to for word, to in offered.items()
        }


@pytest.mark.parametrize("n", ["0", "2", "999999999"])
def test_a_photo_that_is_not_there_is_nowhere(garage: Garage, n: str) -> None:
    part = photographed(garage, 1)
    assert garage.helper.get(f"/i/{part}/photos/{n}").status_code == 404


def test_what_has_no_photo_leads_to_itself(garage: Garage) -> None:
    part = garage.item("part", name="Pump")
    assert garage.helper.get(f"/i/{part}/photos/1").headers["Location"] == f"/i/{part}"


def test_the_way_back_is_a_page_of_this_program_and_stays_from_photo_to_photo(garage: Garage) -> None:
    part = photographed(garage, 2)
    marks = links(garage.helper.get(f"/i/{part}/photos/1?back=/i/{part}/describe").text)
    assert marks["Back"] == f"/i/{part}/describe"
    assert links(garage.helper.get(marks["Next"]).text)["Back"] == f"/i/{part}/describe"
    for wrong in ("//elsewhere", "http://elsewhere/", "/\\elsewhere", "javascript:alert(1)"):
        page = garage.helper.get(f"/i/{part}/photos/1?back={wrong}").text
        assert links(page)["Back"] == f"/i/{part}"


def test_photos_of_zones_and_of_the_tray_are_shown_the_same_way(garage: Garage) -> None:
    zone = garage.one("SELECT id FROM zone")
    assert garage.owner.send(garage.capture(subject=f"zone:{zone}"), garage.photo()).status_code == 200
    assert garage.owner.send(garage.capture(), garage.photo()).status_code == 200
    for listed in (f"/b/1/ledger?zone={zone}", "/b/1/tray"):
        page = garage.helper.get(listed).text
        (viewer,) = re.findall(r'<a href="([^"]+)">\s*<img src="/p/', page)
        assert links(garage.helper.get(html.unescape(viewer)).text)["Back"].startswith(listed)


def test_no_page_leads_to_a_bare_file(busy: Garage) -> None:
    for _, address in busy.routes("GET"):
        answer = busy.owner.get(address)
        if answer.mimetype == "text/html":
            assert not re.search(r'href="/p/', answer.text), address
