"""How a body is read from its stored form, and what it says of a stored form that it cannot read."""

from typing import Any

import pytest

from app.core.items.bodies.acts import Count, Mark, Undo
from app.core.items.bodies.base import UNSAID, Body
from app.core.items.bodies.gates import Answer, Pass
from app.core.items.bodies.papers import AddTool, EditTag
from app.core.items.bodies.plan import EditBuild, EditStep
from app.core.items.bodies.things import AddItem, EditItem, Treat
from app.core.items.kinds import Act


def test_keys_of_earlier_releases_are_read_under_their_present_names() -> None:
    assert EditBuild.read({"words": "us"}).dialect == "us"
    assert Treat.read({"sort": "away"}).category == "away"
    assert AddTool.read({"sort": "click"}).type == "click"
    assert EditItem.read({"detail": {"sort": "hose", "lock": "clip"}}).detail == {
        "lock": "clip",
        "type": "hose",
    }


def test_what_a_line_does_not_say_differs_from_nothing() -> None:
    assert EditItem.read({"n": None}).values("n", "name") == {"n": None}
    assert EditItem.read({}).n is UNSAID
    assert EditItem.read({}).values("n", "name") == {}
    assert EditTag.read({"to": None}).values("to", "void_at") == {"to": None}


def test_a_key_that_nobody_knows_is_passed_over_and_named() -> None:
    assert Mark.read({"act": "off", "heat": 40}) == Mark(act=Act.OFF)
    assert Mark.unknown({"act": "off", "heat": 40}) == ("heat",)


@pytest.mark.parametrize(
    ("body", "stored", "where"),
    [
        (Mark, {}, "act"),
        (Mark, {"act": "glued"}, "act"),
        (Mark, {"act": "off", "pos": []}, "pos"),
        (Mark, {"act": "off", "stage": True}, "stage"),
        (Mark, {"act": "off", "litres": 0}, "litres"),
        (Count, {"lengths": "a: b"}, "lengths"),
        (Undo, {"line": "x"}, "line"),
        (Answer, {"gate": "lift"}, "question"),
        (Pass, {"reason": "so"}, "open"),
        (Pass, {"open": [7]}, "open"),
        (EditStep, {"predecessors": [["a", 7]]}, "predecessors"),
        (AddItem, {"kind": "gadget"}, "kind"),
    ],
)
def test_what_cannot_be_read_names_its_field(body: type[Body], stored: dict[str, Any], where: str) -> None:
    problem = body.check(stored)

    assert problem is not None
    assert problem.where == where
