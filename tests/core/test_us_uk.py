import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.us_uk import to_dialect

TABLE = json.loads((Path(__file__).parents[2] / "seed_data" / "words_us_uk.json").read_text(encoding="utf-8"))
PAIRS = tuple((us, uk) for us, uk in TABLE["pairs"])


@pytest.mark.parametrize(
    ("us", "uk"),
    [
        ("hood hinge", "bonnet hinge"),
        ("Hood", "Bonnet"),
        ("GROUND STRAP", "EARTH STRAP"),
        ("two wrenches", "two spanners"),
        ("Firewall, left", "Bulkhead, left"),
        ("Intake manifold bolts", "Inlet manifold bolts"),
        ("oil pans and fenders", "sumps and wings"),
        ("the transmission's cooler", "the gearbox's cooler"),
    ],
)
def test_the_same_thing_has_a_word_on_either_side(us: str, uk: str) -> None:
    assert to_dialect(us, "uk", PAIRS) == uk
    assert to_dialect(uk, "us", PAIRS) == us


@pytest.mark.parametrize("text", ["hoodie", "lower it to the ground", "torque wrench", "tag ABC-GRAY", ""])
def test_parts_of_words_kept_phrases_and_codes_stay(text: str) -> None:
    assert to_dialect(text, "uk", PAIRS) == text


def test_text_already_in_the_wanted_words_stays() -> None:
    assert to_dialect("bonnet over the earth strap", "uk", PAIRS) == "bonnet over the earth strap"


def test_an_empty_table_changes_nothing() -> None:
    assert to_dialect("hood", "uk", ()) == "hood"


def test_each_word_stands_once_on_its_side_and_never_on_the_other() -> None:
    us = [pair[0] for pair in PAIRS]
    uk = [pair[1] for pair in PAIRS]
    alike = {pair[0] for pair in PAIRS if pair[0] == pair[1]}

    assert len(set(us)) == len(us)
    assert len(set(uk)) == len(uk)
    assert set(us) & set(uk) == alike


cases = st.sampled_from([str.lower, lambda word: word[0].upper() + word[1:].lower(), str.upper])
us_text = st.builds(lambda pair, case: case(pair[0]), st.sampled_from(PAIRS), cases)


@given(st.lists(st.one_of(us_text, st.sampled_from(["bolt", "8 of", "M8 × 1.25,", "(", ")"])), max_size=6))
def test_there_and_back_gives_the_text_again(words: list[str]) -> None:
    text = " ; ".join(words)

    assert to_dialect(to_dialect(text, "uk", PAIRS), "us", PAIRS) == text
