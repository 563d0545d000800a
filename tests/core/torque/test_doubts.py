"""What a person confirms once about a reading."""

import pytest

from app.core.torque.choices import needs_confirming
from app.core.torque.text import parse_torque
from app.core.torque.values import TorqueSpec


@pytest.mark.parametrize(
    "text",
    [
        "25 N·m",
        "Cover bolts: 25 N·m (18 lb·ft)",
        "Tighten the bolts to 25 N·m, then turn them a further 90°",
        "20 N·m + 90° + 90°",
        "Schrauben mit 25 Nm anziehen",
        "Stage 1: 20 N·m, stage 2: 90°",
        "50 N·m; loosen 360°; 30 N·m",
        "Step 1. 20 N·m Step 2. 40 N·m",
        "20 Nm vorspannen, 45 Nm fertig anziehen",
        "Pré-serrage 20 N·m; serrage angulaire 110°",
        "Coppia 20 N·m più 90°",
        "65 till 75 N·m",
        "(30 ± 3) N·m",
        "20 N·m, then turn the main bearing bolts 90°",
    ],
)
def test_a_plain_form_needs_no_confirming(text: str) -> None:
    spec = parse_torque(text)
    assert isinstance(spec, TorqueSpec)
    assert spec.doubts == ()
    assert not needs_confirming(spec)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("Wotsit bolts: 25 N·m", "Wotsit"),
        ("1. 20 N·m 2. 40 N·m", "Letters or numbers alone"),
        ("A: 20 N·m, B: 40 N·m", "Letters or numbers alone"),
        ("(1) 20 N·m (2) 40 N·m", "Letters or numbers alone"),
        ("25 N·m*", "footnote"),
        ("25 N·m 1)", "footnote"),
        ("25 N·m 1) ", "footnote"),
        ("25 N·m, then 90°*", "footnote"),
        ("25 N·m¹", "footnote"),
        ("Tighten fully, then back off 60°", "Only a loosening"),
        ("Preload 1.5 N·m", "Preload"),
        ("in two steps of 90 degrees each", "steps of"),
        ("Tighten to 30 N·m while turning the hub", "while"),
        ("25 N·m with a 17 mm crowfoot", "crowfoot"),
        ("Tighten to 25 N·m, then align the cotter pin hole", "align"),
        ("25 N·m, do not reuse", "do not reuse"),
        ("25 N·m, nicht wiederverwenden", "nicht wiederverwenden"),
        ("25 N·m (lightly oiled threads)", "oiled"),
        ("Apply grease, 25 N·m", "oiled"),
        ("nicht über 25 N·m", "most"),
        ("får ej överskrida 25 N·m", "most"),
        ("25 N·m (oiled)", "oiled"),
        ("max. 25 N·m", "most"),
        ("25 N·m min.", "least"),
        ("prevailing torque 2 N·m", "felt"),
        ("25 N·m. Recheck after 500 km.", "later"),
        ("bolts 1, 2 and 3: 20 N·m", "1, 2 and 3"),
        ("nuts (4) 25 N·m", "4"),
        ("20 N·m, 40 N·m", "then"),
        ("new bolts, 25 N·m", "More"),
        ("100/110 lb·ft", "slash"),
        ("3/4 turn after the gasket touches", "touches"),
        ("58 lb·ft or 79 N·m", "or"),
    ],
)
def test_what_is_more_than_a_plain_form_is_confirmed_and_says_why(text: str, says: str) -> None:
    spec = parse_torque(text)
    assert isinstance(spec, TorqueSpec)
    assert needs_confirming(spec)
    assert says in " ".join(spec.doubts)
