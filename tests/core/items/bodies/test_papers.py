from typing import Any

import pytest

from app.core.items.bodies.base import UNSAID, Body
from app.core.items.bodies.papers import (
    AddPhoto,
    AddSheet,
    AddTool,
    EditPhoto,
    EditSheet,
    EditTag,
    EditTool,
    GivePhoto,
)

SHEET = {"nr": 3, "grid": "3x8", "halves": False, "name": "bench", "port": 8000, "codes": ["7K3F9QQ"]}


def test_a_tag_taken_from_what_it_was_on_differs_from_one_of_which_that_is_not_said() -> None:
    taken, unsaid = EditTag.read({"to": None}), EditTag.read({"sheet": "s"})

    assert (taken.to, unsaid.to) == (None, UNSAID)
    assert (taken.stored(), unsaid.stored()) == ({"to": None}, {"sheet": "s"})


def test_a_wrench_that_was_never_checked_differs_from_one_of_which_no_check_is_told() -> None:
    assert AddTool.read({"checked_at": None}).checked_at is None
    assert AddTool.read({}).checked_at is UNSAID


@pytest.mark.parametrize(
    ("first", "again"), [(AddSheet, EditSheet), (AddPhoto, EditPhoto), (AddTool, EditTool)]
)
def test_what_is_said_again_is_read_as_it_was_said_first_and_by_whom(
    first: type[Body], again: type[Body]
) -> None:
    stored: dict[str, Any] = {
        AddSheet: SHEET,
        AddPhoto: {"sha256": "ab", "shows": ["item:1"], "width": 4, "height": 3},
        AddTool: {"name": "long one", "low": "40", "high": "200", "unit": "N·m", "lever_mm": 410.5},
    }[first]

    assert first.read(stored).stored() == stored
    assert again.read(stored | {"stated": "upgrade"}).stored() == stored | {"stated": "upgrade"}
    assert first.unknown({"stated": "upgrade"}) == ("stated",)


@pytest.mark.parametrize(
    ("body", "stored"),
    [
        (AddSheet, {"nr": "3"}),
        (AddSheet, {"halves": 1}),
        (AddSheet, {"codes": "7K3F9QQ"}),
        (AddPhoto, {"width": 4.5}),
        (GivePhoto, {"shows": [7]}),
        (AddTool, {"lever_mm": "410"}),
        (AddTool, {"angle_deg": True}),
        (EditTag, {"to": 7}),
    ],
)
def test_a_value_of_the_wrong_type_is_named_by_its_field(body: type[Body], stored: dict[str, Any]) -> None:
    problem = body.check(stored)

    assert problem is not None
    assert problem.where in stored
