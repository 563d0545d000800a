"""Drives go by the standards' names."""

import json

import pytest

from app.core.tightening.drives import drive_in, standard_names, without_drives
from app.store.db.files import bundled


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("Torx", "six-lobe"),
        ("external TORX, flange", "external six-lobe, flange"),
        ("socket (Allen)", "hexagon socket"),
        ("hexsocket", "hexagon socket"),
        ("12 point", "12-point"),
        ("hex flange", "hex flange"),
        ("tortoise", "tortoise"),
    ],
)
def test_what_is_typed_is_shown_by_the_standards_name(typed: str, shown: str) -> None:
    assert standard_names(typed) == shown


def test_the_first_drive_of_a_text_counts_and_none_is_none() -> None:
    assert drive_in("Phillips or slotted") == "cross recess PH"
    assert drive_in("hex flange bolt") == ""
    assert without_drives("12-point screw M8").split() == ["screw", "M8"]


def test_the_heads_on_offer_are_the_standards_names() -> None:
    offered = json.loads((bundled("seed_data") / "vocabulary.json").read_text(encoding="utf-8"))["heads"]
    assert [standard_names(head) for head in offered] == offered
