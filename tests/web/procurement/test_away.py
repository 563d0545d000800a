"""Sent away for work, soaking, back again: the list, the form, the sheet that goes along."""

import re
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from html import unescape

import pytest
from werkzeug.test import TestResponse

from app.store.folder import DATABASE_FILE
from tests.web.conftest import Garage

AWAY = {
    "category": "away",
    "need": "machine",
    "what": "skim 0.1",
    "at_whom": "the machine shop",
    "count": "2",
    "since": "2031-05-01",
    "due": "2031-05-12",
    "price": "90.50",
}


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it be 4 May 2031."""
    monkeypatch.setattr("app.web.site.context.now", lambda: datetime(2031, 5, 4, 12, 0, tzinfo=UTC))


def words(answer: TestResponse) -> str:
    """Return what a page says, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def send_away(garage: Garage, item: str, **over: str) -> TestResponse:
    return garage.helper.post(f"/i/{item}/outstanding", **{**AWAY, **over})


def kept(garage: Garage) -> tuple[str, int]:
    outstanding_id, rev = garage.rows("SELECT id, rev FROM outstanding")[0]
    return str(outstanding_id), int(rev)


def test_a_thing_sent_away_stands_on_the_list_with_all_that_is_asked(garage: Garage) -> None:
    item = garage.item("part", name="Heads")
    assert send_away(garage, item).headers["Location"] == "/b/1/away"
    page = words(garage.onlooker.get("/b/1/away"))
    assert "#1 Heads · 2 pieces machine: skim 0.1" in page
    assert "at the machine shop · since 1 May · 90.50 EUR due 12 May" in page
    assert "Asked for all of it: 90.50 EUR" in page


def test_card_and_put_back_list_say_what_it_waits_for(garage: Garage) -> None:
    item = garage.item("part", name="Heads")
    send_away(garage, item)
    for address in (f"/i/{item}", "/b/1/put-back"):
        assert "waits for: Heads at the machine shop, due 12 May" in words(garage.onlooker.get(address))


def test_back_again_is_one_tap_and_a_slip_is_taken_back(garage: Garage) -> None:
    item = garage.item("part", name="Heads")
    send_away(garage, item)
    wait, rev = kept(garage)
    assert garage.helper.post(f"/outstanding/{wait}/done", rev=rev).status_code == 302
    assert "waits for" not in words(garage.owner.get(f"/i/{item}"))
    assert "1 came back" in words(garage.owner.get("/b/1/away"))
    garage.helper.post(f"/outstanding/{wait}/again", rev=rev + 1)
    assert "waits for: Heads" in words(garage.owner.get(f"/i/{item}"))
    assert "Nothing is away" not in words(garage.owner.get("/b/1/away"))


def test_fewer_than_went_away_leave_the_rest_on_the_list(garage: Garage) -> None:
    send_away(garage, garage.item("part", name="Heads"), count="4")
    wait, rev = kept(garage)
    for wrong in ("5", "0", "-1", "some"):
        garage.helper.post(f"/outstanding/{wait}/done", rev=rev, count=wrong)
    assert garage.rows("SELECT count, done_on FROM outstanding") == [(4, None)]
    garage.helper.post(f"/outstanding/{wait}/done", rev=rev, count="3")
    assert garage.rows("SELECT count, done_on FROM outstanding") == [(1, None)]


def test_what_is_overdue_stands_first_and_says_so(garage: Garage) -> None:
    first, late = garage.item("part", name="Heads"), garage.item("part", name="Block")
    send_away(garage, first)
    send_away(garage, late)
    _write(garage, "UPDATE outstanding SET due = '2031-05-03' WHERE subject = ?", f"item:{late}")
    page = words(garage.owner.get("/b/1/away"))
    assert page.index("Block") < page.index("Heads")
    assert "overdue since 3 May" in page


def _write(garage: Garage, query: str, value: str) -> None:
    with closing(sqlite3.connect(garage.folder.path / DATABASE_FILE)) as database, database:
        database.execute(query, (value,))


def test_the_sheet_names_tags_work_and_the_count_that_must_return(garage: Garage) -> None:
    code = garage.blank()
    item = garage.item("part", name="Heads")
    send_away(garage, item)
    send_away(garage, garage.item("part", name="Other"), at_whom="another shop")
    page = words(garage.onlooker.get("/b/1/away/sheet?whom=the+machine+shop"))
    assert f"{code[:3]}-{code[3:]} #1 Heads 2 machine: skim 0.1 12 May 90.50 EUR" in page
    assert "2 pieces must return" in page
    assert "Other" not in page


def test_what_soaks_waits_until_its_day(garage: Garage) -> None:
    item = garage.item("fastener", name="Manifold nuts")
    send_away(garage, item, category="soak", what="penetrating oil", due="2031-05-06")
    assert "waits for: penetrating oil, due 6 May" in words(garage.owner.get(f"/i/{item}"))
    assert "Soaking" in words(garage.owner.get("/b/1/away"))


def test_nothing_outstanding_of_what_is_not_there_is_found_and_a_wrong_method_refused(garage: Garage) -> None:
    step = garage.one("SELECT id FROM step WHERE direction = 'on_only'")
    item = garage.item("part")
    for address in (
        f"/i/{'0' * 32}/outstanding",
        f"/outstanding/{'0' * 32}",
        "/b/7/away",
        "/b/7/away/sheet",
        f"/i/{step}/outstanding",
    ):
        assert garage.owner.get(address).status_code == 404, address
    for address in (
        f"/outstanding/{'0' * 32}/done",
        f"/outstanding/{'0' * 32}/again",
        f"/outstanding/{'0' * 32}/drop",
        f"/i/{step}/outstanding",
    ):
        assert garage.owner.post(address).status_code == 404, address
    assert garage.owner.post("/b/1/away").status_code == 405
    assert garage.owner.get(f"/i/{item}/answer").status_code == 405


def test_a_card_that_says_what_it_waits_for_does_not_say_that_nothing_blocks_it(garage: Garage) -> None:
    item = garage.item("part", name="Heads")
    assert "nothing blocks it" in words(garage.owner.get(f"/i/{item}"))
    send_away(garage, item)
    page = words(garage.owner.get(f"/i/{item}"))
    assert "still open" in page
    assert "nothing blocks it" not in page
