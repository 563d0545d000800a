import re
from datetime import UTC, datetime
from html import unescape
from typing import Any

import pytest
from werkzeug.test import TestResponse

from tests.web.conftest import Garage


@pytest.fixture(autouse=True)
def day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.web.site.context.now", lambda: datetime(2031, 5, 4, 12, 0, tzinfo=UTC))


def words(answer: TestResponse) -> str:
    """Return what a page says, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def part(garage: Garage, name: str, owner: str = "old engine") -> str:
    return garage.item("part", name=name, owner=owner)


def answer(garage: Garage, item: str, destiny: str, **fields: Any) -> TestResponse:
    rev = garage.one("SELECT rev FROM item WHERE id = ?", item)
    return garage.helper.post(f"/i/{item}/answer", **{"destiny": destiny, "rev": rev, **fields})


def fate(garage: Garage, item: str, word: str) -> None:
    after = garage.state(item)["tips"]
    garage.helper.post(f"/i/{item}/line", verb="fate", fate=word, after=after)


def test_cores_stand_by_their_day_and_what_was_sold_by_its_price(garage: Garage) -> None:
    core, sold, pattern = (part(garage, name) for name in ("Alternator", "Pump", "Gasket"))
    for item, word in ((core, "core_return"), (sold, "sold"), (pattern, "pattern")):
        answer(garage, item, "replaced")
        fate(garage, item, word)
    page = words(garage.onlooker.get("/b/1/leaving"))
    assert "Cores to return 1 #1 Alternator no day yet" in page
    assert "Kept as patterns until it runs 1 #3 Gasket" in page

    garage.helper.post(f"/i/{core}/outstanding", category="core", count="1", due="2031-05-30", price="40")
    garage.helper.post(f"/i/{sold}/outstanding", category="sale", price="25")
    wait = garage.one("SELECT id FROM outstanding WHERE category = 'sale'")
    garage.helper.post(f"/outstanding/{wait}/done", rev=1)
    page = words(garage.owner.get("/b/1/leaving"))
    assert "40.00 EUR due 30 May" in page
    assert "Deposits still out: 40.00 EUR" in page
    assert "sold 4 May · 25.00 EUR" in page
    assert "Brought: 25.00 EUR" in page
