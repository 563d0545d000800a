"""Something wrong: raised from a card, tied to the item, first in its way until it is decided."""

import re
from html import unescape
from io import BytesIO

import pytest
from werkzeug.test import TestResponse

from tests.web.conftest import Garage


def words(answer: TestResponse) -> str:
    """Return what a page says, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def raised(garage: Garage, item: str, **fields: object) -> str:
    answer = garage.helper.post(f"/i/{item}/finding", **{"what": "stud broken off", "blocks": "1", **fields})
    assert answer.status_code == 302, answer.text
    return str(answer.headers["Location"].removeprefix("/i/"))


def test_the_card_leads_to_the_page_that_takes_the_photo(garage: Garage) -> None:
    item = garage.item("part", name="Manifold")
    assert f'href="/i/{item}/finding"' in garage.helper.get(f"/i/{item}").text
    page = garage.helper.get(f"/i/{item}/finding")
    assert "It must be decided before #1 goes back" in words(page)
    assert 'name="blocks" value="1" checked' in page.text


def test_a_photo_without_any_tag_in_it_makes_the_finding_and_shows_both(garage: Garage) -> None:
    item = garage.item("part", name="Manifold")
    finding = raised(garage, item, what="", photo=(BytesIO(garage.photo()), "p.jpg"))
    assert garage.rows("SELECT rel, to_item FROM edge WHERE from_item = ?", finding) == [("found_on", item)]
    shown = {row[0] for row in garage.rows("SELECT subject FROM shows")}
    assert shown == {f"item:{item}", f"item:{finding}"}
    assert "Something wrong with #1 Manifold" in words(garage.owner.get(f"/i/{finding}"))


def test_a_blank_tag_in_the_photo_becomes_the_findings_own(garage: Garage) -> None:
    item = garage.item("part", name="Manifold")
    code = garage.blank()
    finding = raised(garage, item, photo=(BytesIO(garage.photo(code)), "p.jpg"))
    assert garage.one("SELECT subject FROM tag WHERE code = ?", code) == f"item:{finding}"
    assert garage.one("SELECT count(*) FROM item") == 2


def test_what_it_was_found_on_waits_for_the_decision(garage: Garage) -> None:
    item = garage.item("part", name="Manifold")
    finding = raised(garage, item)
    assert "First: decide stud broken off, 2" in words(garage.owner.get(f"/i/{item}"))
    assert "First: decide #2 stud broken off" in words(garage.owner.get("/b/1/put-back"))
    assert "#2 stud broken off" in words(garage.owner.get("/b/1/undecided"))

    before = garage.everything()
    refused = garage.helper.post(f"/i/{finding}/line", verb="mark", act="decided")
    assert refused.status_code == 422
    assert "what was decided" in words(refused)
    assert garage.everything() == before

    tips = garage.state(finding)["tips"]
    garage.helper.post(f"/i/{finding}/line", verb="mark", act="decided", reason="drill it out", after=tips)
    assert "First: decide" not in words(garage.owner.get(f"/i/{item}"))
    assert "Hank: decided: drill it out" in words(garage.owner.get(f"/i/{finding}"))


def test_one_that_need_not_be_decided_first_blocks_nothing(garage: Garage) -> None:
    item = garage.item("part", name="Manifold")
    raised(garage, item, blocks="")
    assert "First: decide" not in words(garage.owner.get(f"/i/{item}"))


def test_the_bench_ties_a_finding_to_an_item_afterwards(garage: Garage) -> None:
    item, finding = garage.item("part", name="Manifold"), garage.item("finding")
    sent = garage.describe(finding, name="crack", what="a crack", blocks="y", found_on="#1")
    assert sent.status_code == 302
    assert "First: decide crack, 2" in words(garage.owner.get(f"/i/{item}"))
    assert garage.describe(finding, found_on="#77").status_code == 422


def test_a_photo_that_is_none_is_refused_and_the_words_are_kept(garage: Garage) -> None:
    item = garage.item("part", name="Manifold")
    before = garage.everything()
    refused = garage.helper.post(
        f"/i/{item}/finding", what="a «crack»", photo=(BytesIO(b"not a photo"), "p.jpg")
    )
    assert refused.status_code == 422
    assert 'value="a «crack»"' in refused.text
    assert "checked" not in refused.text.partition('name="blocks"')[2][:30]
    assert garage.everything() == before


@pytest.mark.parametrize("method", ["get", "post"])
def test_there_is_nothing_to_find_on_a_step_or_on_nothing(garage: Garage, method: str) -> None:
    step = garage.one("SELECT id FROM step WHERE direction = 'on_only'")
    for thing in (step, "0" * 32):
        assert getattr(garage.owner, method)(f"/i/{thing}/finding").status_code == 404
