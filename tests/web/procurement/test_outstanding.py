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
    """The day on which these tests happen is 4 May 2031."""
    monkeypatch.setattr("app.web.site.context.now", lambda: datetime(2031, 5, 4, 12, 0, tzinfo=UTC))


def words(answer: TestResponse) -> str:
    """Return what a page says, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def send_away(garage: Garage, item: str, **over: str) -> TestResponse:
    return garage.helper.post(f"/i/{item}/outstanding", **{**AWAY, **over})


def kept(garage: Garage) -> tuple[str, int]:
    outstanding_id, rev = garage.rows("SELECT id, rev FROM outstanding")[0]
    return str(outstanding_id), int(rev)


def _write(garage: Garage, query: str, value: str) -> None:
    with closing(sqlite3.connect(garage.folder.path / DATABASE_FILE)) as database, database:
        database.execute(query, (value,))


def test_the_form_sent_twice_writes_one(garage: Garage) -> None:
    item = garage.item("part", name="Heads")
    assert send_away(garage, item, wait="a" * 32).status_code == 302
    assert send_away(garage, item, wait="a" * 32).status_code == 409
    assert garage.one("SELECT count(*) FROM outstanding") == 1


def test_a_stale_page_keeps_its_typing_and_overwrites_nothing(garage: Garage) -> None:
    send_away(garage, garage.item("part", name="Heads"))
    wait, rev = kept(garage)
    assert garage.owner.post(f"/outstanding/{wait}", **AWAY, rev=rev).status_code == 302
    answer = garage.helper.post(f"/outstanding/{wait}", **{**AWAY, "at_whom": "a third"}, rev=rev)
    assert answer.status_code == 409
    assert 'value="a third"' in answer.text
    assert "Now it says: skim 0.1 · the machine shop · 2 pieces" in words(answer)
    assert garage.one("SELECT at_whom FROM outstanding") == "the machine shop"


def test_an_overdue_one_can_be_changed_without_another_day(garage: Garage) -> None:
    send_away(garage, garage.item("part", name="Heads"))
    wait, rev = kept(garage)
    _write(garage, "UPDATE outstanding SET due = '2031-05-02' WHERE id = ?", wait)
    answer = garage.owner.post(
        f"/outstanding/{wait}", **{**AWAY, "due": "2031-05-02", "price": "80"}, rev=rev
    )
    assert answer.status_code == 302
    assert garage.one("SELECT price_minor FROM outstanding") == 8000


def test_a_typed_number_leads_to_the_form_and_an_unknown_one_is_named(garage: Garage) -> None:
    item = garage.item("part", name="Heads")
    assert garage.helper.get("/b/1/away?number=%231").headers["Location"].startswith(f"/i/{item}/outstanding")
    answer = garage.helper.get("/b/1/away?number=77")
    assert answer.status_code == 422
    assert "There is no item #77" in words(answer)


def test_what_was_written_by_mistake_is_taken_off_the_list_and_stays_in_the_journal(garage: Garage) -> None:
    item = garage.item("part", name="Heads")
    send_away(garage, item)
    wait, rev = kept(garage)
    garage.helper.post(f"/outstanding/{wait}/drop", rev=rev + 1)
    assert garage.one("SELECT count(*) FROM outstanding") == 1
    garage.helper.post(f"/outstanding/{wait}/drop", rev=rev)
    assert garage.one("SELECT count(*) FROM outstanding") == 0
    assert "taken off the list: skim 0.1" in words(garage.owner.get(f"/i/{item}"))
