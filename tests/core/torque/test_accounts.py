"""Every word of a printed torque is accounted for."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.torque.lexicon import ROLES
from app.core.torque.text import parse_torque
from app.core.torque.values import TorqueSpec
from tests.core.torque.printed import code


@pytest.mark.parametrize(
    "text",
    ["25 N·m blork", "blork 25 N·m", "blork to 25 N·m", "tighten to blork 25 N·m", "blork bolts to 25 N·m",
     "20 N·m, then blork 90°", "blork 90°", "90° blork", "blork the bolts and tighten to 25 N·m",
     "unblork bolts to 25 N·m", "kiristä 25 Nm", "húzza meg 25 Nm"],
)  # fmt: skip
def test_an_unknown_word_where_an_act_can_stand_is_refused(text: str) -> None:
    assert code(text) == "word-unknown"


PLAIN = ("Tighten the bolts to 20 N·m, then 60°", "20 N·m", "Cover bolts: 25 N·m (18 lb·ft)", "20 N·m + 90°")
unknown_text = st.text("bcdfghjklmnpqrstvwxz", min_size=4, max_size=9).filter(lambda word: word not in ROLES)


@given(st.sampled_from(PLAIN), unknown_text, st.integers(0, 12))
@settings(max_examples=300)
def test_no_word_of_a_text_is_passed_over_in_silence(text: str, word: str, place: int) -> None:
    words = text.split(" ")
    at = place % (len(words) + 1)
    if at and re.fullmatch(r"\(?\d+", words[at - 1]):
        at -= 1  # not between a number and its unit: that refuses the number
    spec = parse_torque(" ".join([*words[:at], word, *words[at:]]))
    if isinstance(spec, TorqueSpec):
        assert word in " ".join(spec.doubts)
