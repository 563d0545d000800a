import pytest

from app.core.intake.facts import fact_body, read_object
from app.core.intake.fields import fields_of


def test_fields_are_put_into_the_body_at_their_place() -> None:
    form = fields_of([("body", '{"act": "off"}'), ("body.note", " dry "), ("body.tool.name", "Long one")])

    assert fact_body(form) == {"act": "off", "note": "dry", "tool": {"name": "Long one"}}


def test_what_repeats_is_a_list_only_where_the_form_says_so_and_none_is_an_empty_one() -> None:
    form = fields_of([("body.pos", "1"), ("body.pos", "2"), ("lists", "body.pos"), ("lists", "body.seen")])

    assert fact_body(form) == {"pos": ["1", "2"], "seen": []}
    assert fact_body(fields_of([("body.pos", "1"), ("body.pos", "2")])) == {"pos": "1"}


def test_a_field_inside_what_is_no_object_is_lost_and_nothing_falls_over() -> None:
    assert fact_body(fields_of([("body", '{"a": 1}'), ("body.a.b", "2")])) == {"a": 1}


@pytest.mark.parametrize("text", ["", "x", "[1]", "7", "null", '{"a": NaN}', "[" * 100_000])
def test_what_is_no_json_object_is_an_empty_one(text: str) -> None:
    assert read_object(text) == {}


def test_a_field_named_in_lists_is_a_list_though_nothing_is_ticked() -> None:
    assert fact_body(fields_of([("body", '{"gate": "start"}'), ("lists", "body.open")])) == {
        "gate": "start", "open": [],
    }  # fmt: skip
