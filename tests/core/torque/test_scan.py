"""Each word of a printed torque with its role, each number with its kind."""

import pytest

from app.core.torque.scan import scan, spelled
from tests.core.torque.printed import said


@pytest.mark.parametrize(
    ("text", "stages"),
    [
        ("24N·m(2.4kgf·m,17lbf·ft)", "24 N·m (2.4 kgf·m, 17 lb·ft)"),
        ("30Nm,90°", "30 N·m; 90°"),
        ("Cylinder head bolts.......65 ft-lb", "65 lb·ft"),
    ],
)
def test_a_number_is_not_lost_behind_a_comma_or_leader_dots(text: str, stages: str) -> None:
    assert said(text) == stages


def test_a_word_has_the_role_that_it_does_and_a_phrase_goes_before_its_words() -> None:
    kinds = [(token.kind, token.text) for token in scan("back off, then tighten bolts at least 25 N·m")]
    assert kinds == [
        ("loosen", "back off"),
        ("comma", ","),
        ("then", "then"),
        ("tighten", "tighten"),
        ("fastener", "bolts"),
        ("least", "at least"),
        ("torque", "25 N·m"),
    ]


@pytest.mark.parametrize("text", ["back-off", "back\noff"])
def test_a_phrase_is_one_over_a_hyphen_and_a_line_end(text: str) -> None:
    assert [token.kind for token in scan(text)] == ["loosen"]


@pytest.mark.parametrize(
    ("printed", "plain"),
    [
        ("30/60/85 ft-lb", "30, 60, 85 ft-lb"),
        ("60/30/85 ft-lb", "60/30/85 ft-lb"),
        ("1 200 N·m", "1200 N·m"),
        ("tigh-\nten 25 N·m", "tighten 25 N·m"),
        ("25 Nm", "25 Nm"),
    ],
)
def test_a_text_is_spelled_out_before_it_is_read(printed: str, plain: str) -> None:
    assert spelled(printed.replace("1 200", "1\u202f200")) == plain


def test_each_piece_says_where_it_starts() -> None:
    text = "Cover bolts: 25 N·m (18 lb·ft)"
    assert all(text[token.at :].startswith(token.text) for token in scan(text))
