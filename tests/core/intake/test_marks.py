"""What a form of a card says about an item, and what is missing in it."""

from typing import Any

from app.core.intake.fields import fields_of
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
