import re
from html import unescape
from typing import Any

from werkzeug.test import TestResponse

from tests.web.conftest import Garage


def words(answer: TestResponse) -> str:
    """Return what a page says, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def part(garage: Garage, name: str, owner: str = "old engine") -> str:
    return garage.item("part", name=name, owner=owner)


def answer(garage: Garage, item: str, destiny: str, **fields: Any) -> TestResponse:
    rev = garage.one("SELECT rev FROM item WHERE id = ?", item)
    return garage.helper.post(f"/i/{item}/answer", **{"destiny": destiny, "rev": rev, **fields})


def test_what_nobody_decided_is_answered_on_its_own_list(garage: Garage) -> None:
    belt = part(garage, "Belt", "vehicle")
    answer(garage, belt, "undecided", reason="cracks?")
    page = words(garage.onlooker.get("/b/1/undecided"))
    assert "What becomes of it? 1 #1 Belt" in page
    assert "waits for: a decision" in words(garage.owner.get(f"/i/{belt}"))
    sent = answer(garage, belt, "refit", back="/b/1/undecided")
    assert sent.headers["Location"] == "/b/1/undecided"
    assert "Everything is decided" in words(garage.owner.get("/b/1/undecided"))
