"""A form becomes the same line or capture whoever sends it: a page at once, or a phone later."""

from typing import Any

import pytest

from app.core.intake.forms import entry_of_form
from app.core.items.items import Fastener, Item
from app.core.items.kinds import Kind

BOLTS = Item("b", 3, Kind.FASTENER, n=4, detail=Fastener(thread="M8", torque="25 N·m"))


def form(name: str, *pairs: list[str], **more: Any) -> dict[str, Any]:
    return {"id": "e", "build": "u", "type": "form", "form": name, "fields": list(pairs), **more}


def test_a_form_becomes_a_line_that_names_what_the_page_had_shown() -> None:
    sent = form("mark", ["verb", "mark"], ["act", "off"], ["after", "a"], ["after", "b"], ["person", "x"])

    assert entry_of_form(sent | {"subject": "item:b"}, BOLTS) == {
        "id": "e", "build": "u", "subject": "item:b", "type": "line", "verb": "mark",
        "body": {"act": "off"}, "after": ["a", "b"], "person": "x",
    }  # fmt: skip


def test_a_fact_and_a_capture_and_a_finding_become_what_they_say() -> None:
    fact = entry_of_form(form("fact", ["verb", "stop"], ["body", "{}"], ["body.note", " rain "]), None)
    taken = entry_of_form(form("capture", ["kind", "part"], ["code", "7k3-f9qq"], item="i"), None)
    found = entry_of_form(form("finding", ["what", "crack"], ["blocks", "1"], item="i", about="b"), None)

    assert isinstance(fact, dict)
    assert (fact["verb"], fact["body"]) == ("stop", {"note": "rain"})
    assert isinstance(taken, dict)
    assert (taken["type"], taken["kind"], taken["code"], taken["item"]) == ("capture", "part", "7K3F9QQ", "i")
    assert isinstance(found, dict)
    assert (found["kind"], found["about"], found["what"], found["blocks"]) == ("finding", "b", "crack", True)


@pytest.mark.parametrize(
    "sent",
    [
        form("paint"),
        form("mark", ["act", "off"], ["heat", "40"]),
        form("capture", ["heat", "40"]),
        form("mark", fields="act"),
        form("mark", fields=[["act"]]),
        form("mark", fields=[["act", 7]]),
        form("fact", ["heat", "40"]),
    ],
)
def test_a_form_that_no_release_has_is_none(sent: dict[str, Any]) -> None:
    assert entry_of_form(sent, BOLTS) is None


def test_a_form_about_what_is_not_here_is_none() -> None:
    assert entry_of_form(form("mark", ["act", "off"]), None) is None
