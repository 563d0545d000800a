"""What a printed torque is for: the words that name fasteners and parts, and those that tell two apart."""

from collections import Counter
from itertools import combinations

import pytest

from app.core.torque.lexicon import ROLES
from app.core.torque.names import CONDITIONS, NAMES, VARIANT_OF, VARIANTS
from tests.core.torque.printed import code, read, said


def test_no_word_stands_for_two_cases() -> None:
    words = Counter(
        (word, group, member)
        for group, members in VARIANTS.items()
        for member, listed in members.items()
        for word in set(listed.split())
    )
    cases = Counter(word for word, _, _ in words)
    assert [word for word, count in cases.items() if count > 1] == []


@pytest.mark.parametrize(
    ("text", "state"),
    [
        ("25 N·m (dry)", "dry"),
        ("trocken 25 Nm", "dry"),
        ("25 N·m (oiled)", "oiled"),
        ("geölt 25 Nm", "oiled"),
        ("25 N·m cold", "cold"),
        ("25 N·m hot", "hot"),
    ],
)
def test_a_state_that_the_value_holds_for_is_kept_with_it(text: str, state: str) -> None:
    assert read(text).conditions == (state,)


def test_each_state_is_known_by_a_word() -> None:
    assert set(VARIANT_OF.values()) >= set(CONDITIONS)


WORDS = {
    group: [words.split()[0].replace("_", " ") for words in members.values()]
    for group, members in VARIANTS.items()
}
"""The first word of each case, by what the cases differ in."""


@pytest.mark.parametrize(
    ("one", "other"), [pair for words in WORDS.values() for pair in combinations(words, 2)]
)
def test_two_cases_with_a_value_each_are_never_two_stages_of_one_bolt(one: str, other: str) -> None:
    assert code(f"{one} 20 N·m, then {other} 30 N·m") in {"two-fasteners", "two-conditions"}


@pytest.mark.parametrize("word", sorted(set(NAMES["fastener"].split())))
def test_a_heading_of_a_fastener_changes_nothing(word: str) -> None:
    assert ROLES[word] in {"fastener", "part", "variant"}
    assert said(f"{word.replace('_', ' ')}: 25 N·m") == "25 N·m"
