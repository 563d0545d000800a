from dataclasses import fields

from app.core.items.items import DETAIL, RELATIONS
from app.core.items.kinds import ITEM_KINDS
from app.core.lists.column import Of
from app.core.lists.columns import GOES_AFTER, TABLE


def test_no_two_columns_are_headed_alike() -> None:
    said = [heading for column in TABLE.all for heading in (column.name, *column.also)]

    assert len(said) == len(set(said)) == len(TABLE.headings)


def test_every_tie_is_a_relation_between_items() -> None:
    assert {column.field for column in TABLE.ties} <= {*RELATIONS, GOES_AFTER}
    assert {column.field for column in TABLE.all if column.of is not Of.TIE}.isdisjoint(RELATIONS)


def test_every_column_of_a_kinds_own_fills_a_field_of_each_kind_that_it_names() -> None:
    own = [column for column in TABLE.all if column.of is Of.DETAIL]

    assert len(own) > 4
    for column in own:
        for kind in column.kinds:
            assert column.field in {each.name for each in fields(DETAIL[kind])}, (column.name, kind)


def test_what_some_kind_has_no_field_for_is_kept_in_notes_and_what_all_have_is_not() -> None:
    homeless = {column.name for column in TABLE.homeless}

    assert {"torque", "length_mm"} <= homeless
    assert homeless.isdisjoint({"id", "name", "note", "place"})
    assert all(set(column.kinds) < set(ITEM_KINDS) or column.beside for column in TABLE.homeless)


def test_the_columns_of_a_step_are_all_but_its_name() -> None:
    assert [column.name for column in TABLE.of_step] == ["height", "people", "minutes", "direction"]
