"""Words that change nothing about a printed torque."""

import pytest

from app.core.torque.lexicon import ROLES
from app.core.torque.small_words import SMALL
from app.core.torque.text import format_torque, parse_torque
from app.core.torque.values import TorqueSpec
from tests.core.torque.printed import said

ALONE = sorted(word for word in set(SMALL.split()) if ROLES.get(word) == "small")
"""Those that no other table knows by another role."""
RENEWING = (
    *("byt", "erneuern", "ersetzen", "reemplazar", "remplacer", "renew", "replace"),
    *("sostituire", "substituir", "sustituir", "trocar", "vervangen"),
)


@pytest.mark.parametrize("form", ["Tighten {w} bolts to 25 N·m", "tighten the bolts to 25 N·m {w}"])
def test_no_small_word_adds_takes_away_or_turns_round_what_is_done(form: str) -> None:
    found = {word: parse_torque(form.format(w=word.replace("_", " "))) for word in ALONE}
    changed = {
        word: format_torque(spec)
        for word, spec in found.items()
        if isinstance(spec, TorqueSpec)
        and format_torque(spec) != "25 N·m"
        and word not in {*RENEWING, "later"}
    }
    assert len(ALONE) > 500
    assert set(changed) <= {*RENEWING, "later"}


def test_no_small_word_before_a_fastener_stands_in_the_way_of_reading() -> None:
    refused = [
        word
        for word in ALONE
        if not isinstance(parse_torque(f"Tighten {word.replace('_', ' ')} bolts to 25 N·m"), TorqueSpec)
    ]
    assert refused == []


@pytest.mark.parametrize("word", RENEWING)
def test_a_word_of_renewing_is_small_but_asks_for_new_bolts_beside_a_bolt(word: str) -> None:
    assert ROLES[word] == "small"
    assert said(f"Tighten {word} bolts to 25 N·m") == "new bolt; 25 N·m"


@pytest.mark.parametrize(
    ("word", "role"),
    [("no", "not"), ("after", "after"), ("next", "then"), ("without", "variant"), ("torque", "tighten"),
     ("se", "if"), ("à", "range"), ("en", "and"), ("recheck", "later")],
)  # fmt: skip
def test_a_small_word_that_can_change_the_act_in_some_language_is_never_small(word: str, role: str) -> None:
    assert word in SMALL.split()
    assert ROLES[word] == role
