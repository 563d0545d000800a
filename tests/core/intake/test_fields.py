from typing import Any

import pytest

from app.core.intake.fields import Fields, fields_of, read_fields, read_number

SENT = fields_of([("pos", "1"), ("act", "off"), ("pos", "2")])


def test_of_a_name_that_repeats_the_first_value_or_all_of_them_in_order() -> None:
    assert SENT.get("pos") == "1"
    assert SENT.all("pos") == ["1", "2"]
    assert SENT.names == {"pos", "act"}


def test_a_name_that_was_not_sent_has_the_default_and_differs_from_one_sent_empty() -> None:
    empty = fields_of([("via", "")])

    assert (SENT.get("via"), SENT.get("via", "none"), SENT.all("via")) == ("", "none", [])
    assert "via" not in SENT
    assert "via" in empty
    assert empty.get("via", "none") == ""


def test_what_a_phone_kept_is_read_as_it_was_sent() -> None:
    assert read_fields([["pos", "1"], ["act", "off"], ["pos", "2"]]) == SENT
    assert read_fields([]) == Fields(())


@pytest.mark.parametrize(
    "stored",
    [None, "act", {"act": "off"}, [["act"]], [["act", "off", "x"]], [["act", 7]], [[7, "x"]], ["ab"]],
)
def test_what_is_no_list_of_names_with_values_is_none(stored: Any) -> None:
    assert read_fields(stored) is None


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        *(("7", 7), ("007", 7), ("999999999", 999_999_999), ("1000000000", 0), ("", 0), ("-1", 0)),
        *(("1.5", 0), (" 7", 0), ("7\n", 0), ("٧", 0), ("²", 0)),
    ],
)
def test_a_hidden_number_is_whole_and_of_nine_digits_at_most(typed: str, number: int) -> None:
    assert read_number(typed) == number
