"""A form becomes the same line or capture whoever sends it: a page at once, or a phone later."""

from typing import Any

import pytest

from app.core.intake.facts import fact_body
from app.core.intake.fields import fields_of
from app.core.intake.forms import entry_of_form
from app.core.intake.marks import mark_body
from app.core.items.items import Connection, Fastener, Fluid, Item
from app.core.items.kinds import Kind
from app.core.problem import Problem

BOLTS = Item("b", 3, Kind.FASTENER, n=4, detail=Fastener(thread="M8", torque="25 N·m"))
PLUG = Item("p", 4, Kind.CONNECTION, detail=Connection("electrical connector", both_halves=True))
OIL = Item("o", 5, Kind.FLUID, detail=Fluid("engine oil"))


def said(item: Item, *pairs: tuple[str, str]) -> Any:
    return mark_body(item, fields_of([("verb", "mark"), *pairs]))


def code(answer: Any) -> str:
    assert isinstance(answer, Problem)
    return answer.code


def test_a_tight_group_says_what_it_reached_with_which_wrench_and_where() -> None:
    pairs = [("act", "tight"), ("has_pos", "1"), ("pos", "1"), ("pos", "3")]
    value = [("reached", " 25 "), ("reached_unit", "N·m"), ("wrench", "long one")]

    assert said(BOLTS, *pairs, *value) == {
        "act": "tight", "wrench": "long one", "pos": [1, 3], "reached": "25 N·m",
    }  # fmt: skip


def test_what_an_act_is_not_asked_for_is_not_said_though_the_page_had_it_ready() -> None:
    ready = [("reached", "25"), ("reached_unit", "N·m"), ("wrench", "long one"), ("stage", "2")]

    assert said(BOLTS, ("act", "placed"), *ready) == {"act": "placed"}
    assert said(BOLTS, ("act", "stage"), *ready) == {"act": "stage", "stage": 2}
    assert said(PLUG, ("act", "seated"), ("half", "A"), ("via", "")) == {"act": "seated"}


def test_what_is_missing_is_said_with_its_field() -> None:
    assert code(said(BOLTS, ("act", "tight"), ("reached", ""))) == "reached-missing"
    assert code(said(BOLTS, ("act", "off"), ("has_pos", "1"))) == "no-positions"
    assert code(said(PLUG, ("act", "latched"), ("via", " "))) == "via-missing"
    assert code(said(OIL, ("act", "drained"), ("litres", "much"))) == "litres"
    assert said(BOLTS, ("act", "tight"), ("reached", ""), ("by_feel", "1")) == {
        "act": "tight", "reached": "by feel",
    }  # fmt: skip
    assert said(OIL, ("act", "drained"), ("litres", "4,6")) == {"act": "drained", "litres": 4.6}


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


def test_a_field_named_in_lists_is_a_list_though_nothing_is_ticked() -> None:
    assert fact_body(fields_of([("body", '{"gate": "start"}'), ("lists", "body.open")])) == {
        "gate": "start", "open": [],
    }  # fmt: skip
