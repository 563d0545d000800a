from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.items.bodies.base import UNSAID
from app.core.items.bodies.things import AddItem, EditItem, EditOutstanding, Treat
from app.core.items.kinds import Act, Kind

HEX = "0" * 32


@given(
    st.dictionaries(st.sampled_from(["kind", "n", "name", "critical"]), st.none() | st.integers() | st.text())
)
def test_whatever_is_checked_can_be_read(stored: dict[str, Any]) -> None:
    if EditItem.check(stored) is None:
        read = EditItem.read(stored)

        assert read.kind is None or read.kind in Kind
        assert EditItem.read(read.stored()) == read


def test_an_exception_is_read_as_what_in_which_step_of_which_round_and_why() -> None:
    stored = {"exceptions": [["twice", HEX, 1, "so"]], "edges": {"holds": [HEX], "joins": []}}
    read = EditItem.read(stored)

    assert read.exceptions == (("twice", HEX, 1, "so"),)
    assert read.edges == {"holds": (HEX,), "joins": ()}
    assert read.stored() == stored


def test_that_all_exceptions_are_gone_differs_from_a_line_that_says_nothing_of_them() -> None:
    assert EditItem.read({"exceptions": []}).values("exceptions") == {"exceptions": ()}
    assert EditItem.read({}).values("exceptions") == {}


@pytest.mark.parametrize(
    "stored",
    [
        {"exceptions": [["twice", HEX]]},
        {"edges": {"holds": HEX}},
        {"detail": []},
        {"cautions": ["far-above"]},
    ],
)
def test_a_relation_an_exception_or_a_detail_of_another_form_is_named(stored: dict[str, Any]) -> None:
    problem = EditItem.check(stored)

    assert problem is not None
    assert problem.where in stored


def test_an_item_may_come_into_being_with_its_first_act_and_nobody_has_counted_its_pieces_then() -> None:
    stored = {"kind": "fastener", "n": None, "act": "off", "born": "transfer"}
    read = AddItem.read(stored)

    assert (read.kind, read.n, read.act, read.born) == (Kind.FASTENER, None, Act.OFF, "transfer")
    assert AddItem.read({"kind": "fastener"}).n is UNSAID
    assert EditItem.unknown(stored) == ("act", "born")


def test_no_price_differs_from_a_price_that_a_line_does_not_say() -> None:
    gone, same = Treat.read({"wait": HEX, "price_minor": None}), Treat.read({"wait": HEX, "deleted": True})

    assert (gone.price_minor, same.price_minor) == (None, UNSAID)
    assert EditOutstanding.read({"done_line": None}).values("done_line", "due") == {"done_line": None}
