"""What the words around a printed torque do."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.torque.choices import needs_confirming
from app.core.torque.lexicon import AGAIN_ADVERBS, PHRASES, ROLES
from app.core.torque.text import parse_torque
from app.core.torque.values import TorqueSpec
from tests.core.torque.printed import said

CHANGING = sorted(
    word.replace("_", " ")
    for word, role in ROLES.items()
    if role
    in {"not", "if", "or", "minus", "loosen", "back", "least", "most", "felt", "run_on", "example", "variant"}
)


@given(st.sampled_from(CHANGING), st.sampled_from(["{w} 25 N·m", "25 N·m {w}", "tighten {w} to 25 N·m"]))
@settings(max_examples=600)
def test_a_word_that_can_change_the_act_becomes_structure_or_refuses(word: str, form: str) -> None:
    spec = parse_torque(form.format(w=word))
    assert not isinstance(spec, TorqueSpec) or needs_confirming(spec) or len(spec.stages) > 1


@pytest.mark.parametrize(
    ("word", "role"),
    [("do not exceed", "most"), ("not less than", "least"), ("back off", "loosen"),
     ("zurückdrehen", "loosen"), ("weiterdrehen", "further"),
     ("nicht", "not"), ("wenn", "if"), ("oder", "or"), ("weniger als", "most")],
)  # fmt: skip
def test_a_word_or_phrase_does_what_it_says(word: str, role: str) -> None:
    assert ROLES[word.replace(" ", "_")] == role


def test_the_longest_phrase_is_tried_first() -> None:
    assert PHRASES
    for found in PHRASES.values():
        assert [len(parts) for parts in found] == sorted((len(parts) for parts in found), reverse=True)


@pytest.mark.parametrize("word", sorted(AGAIN_ADVERBS))
def test_an_adverb_of_again_behind_a_torque_repeats_nothing(word: str) -> None:
    assert ROLES[word.replace(" ", "_")] == "again"
    assert said(f"tighten to 20 N·m {word}") == "20 N·m"
