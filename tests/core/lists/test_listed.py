from dataclasses import fields

from app.core.lists.column import Of
from app.core.lists.columns import TABLE
from app.core.lists.listed import ListedItem, ListedStep, ListPlan
from app.core.lists.lists import read_list_text


def test_every_field_of_a_step_is_filled_by_a_column() -> None:
    filled = {column.field for column in TABLE.all if column.of is Of.STEP}

    assert {each.name for each in fields(ListedStep)} - {"line"} == filled


def test_every_field_of_an_item_is_filled_by_a_column() -> None:
    filled = {column.field for column in TABLE.all if column.of is Of.ITEM}

    assert {each.name for each in fields(ListedItem)} - {"line", "detail"} == filled | {"step"}


def test_what_a_list_does_not_say_of_a_step_is_left_open() -> None:
    found = read_list_text("step,kind,minutes\nA,step,\nB,step,0")

    assert isinstance(found, ListPlan)
    assert [(s.height, s.people, s.direction) for s in found.steps] == [(None, None, None)] * 2
    assert [s.minutes for s in found.steps] == [None, 0]
