"""From the pieces of a printed torque to its stages."""

import pytest

from tests.core.torque.printed import code, said


@pytest.mark.parametrize(
    ("text", "stages"),
    [
        ("50 N·m; loosen 1 full turn; 30 N·m; +90°; +90°", "50 N·m; loosen 360°; 30 N·m; 90°; 90°"),
        ("20 -> 35 -> 45 N·m + 90° -> +90°", "20 N·m; 35 N·m; 45 N·m; 90°; 90°"),
        (
            "Old bolt 125 N-m to pull in, discard bolt, new bolt 125 N·m + 130 deg",
            "125 N·m; new bolt; 125 N·m; 130°",
        ),
        ("10 Nm then 20 Nm then 60 deg", "10 N·m; 20 N·m; 60°"),
        ("Step 1: 20 Nm, Step 2: 40 Nm, Step 3: 90°", "20 N·m; 40 N·m; 90°"),
        ("Step 1 - 40 N·m", "40 N·m"),
        ("1) 20 Nm 2) 40 Nm 3) 60°", "20 N·m; 40 N·m; 60°"),
        ("1st pass 20 Nm; 2nd pass 40 Nm", "20 N·m; 40 N·m"),
        ("2 x 90°", "90°; 90°"),
        ("50 Nm; loosen; repeat", "50 N·m; loosen; again"),
        ("hand tight + 90°", "snug; 90°"),
        ("back off 1/2 turn then 15 lb-ft", "loosen 180°; 15 lb·ft"),
        ("Back nut off 1/8 to 1/4 turn", "loosen 45–90°"),
        ("50 lb-ft, then 1/4 turn counterclockwise", "50 lb·ft; loosen 90°"),
        ("40 Nm. Loosen to 0 Nm. 20 Nm", "40 N·m; loosen; 20 N·m"),
        ("1. Schritt: 39-49 Nm, 2. Schritt: 90°", "39–49 N·m; 90°"),
        ("Stage I 40 Nm Stage II = 1/4 turn (90°) Stage III = 1/4 turn (90°)", "40 N·m; 90°; 90°"),
        ("1 - Tighten to 15 Nm\n2 - Tighten bolts - 2 - to 30 Nm", "15 N·m; 30 N·m"),
        ("Head bolts 20, 40, 60 Nm", "20 N·m; 40 N·m; 60 N·m"),
        ("30/60/85 ft-lb", "30 lb·ft; 60 lb·ft; 85 lb·ft"),
        ("60 Nm + 90° (renew bolts)", "new bolt; 60 N·m; 90°"),
        ("tighten them to 20 Nm again", "20 N·m"),
        ("90° + 2x90°", "90°; 90°; 90°"),
    ],
)
def test_stages_are_read_in_their_order(text: str, stages: str) -> None:
    assert said(text) == stages


@pytest.mark.parametrize(
    ("text", "band"),
    [
        ("20 Nm max.", "max. 20 N·m"),
        ("not less than 30 ft-lb", "min. 30 lb·ft"),
        ("20 N·m or more", "min. 20 N·m"),
        ("less than 20 N·m", "max. 20 N·m"),
        ("18 lb·ft (20 max)", "18 lb·ft"),
        ("min 20 Nm, max 25 Nm", "20–25 N·m"),
    ],
)
def test_limits_are_read(text: str, band: str) -> None:
    assert said(text) == band


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("10 N·m (89 lb·ft)", "columns-apart"),
        ("20 N·m (20 kgf·m)", "columns-apart"),
        ("40 N·m + 90 o", "either-or"),
        ("⁵⁰ N·m", "number-missing"),
        ("50 N·m plus 30 N·m", "plus-unclear"),
    ],
)
def test_a_second_value_that_can_mean_two_things_is_asked_about(text: str, why: str) -> None:
    assert code(text) == why


@pytest.mark.parametrize(
    "text",
    ["From finger tight turn 90°", "from hand tight 90°", "snug the bolts, 90°", "Hand tight plus 90°"],
)
def test_a_turn_keeps_the_snug_tightening_that_it_starts_from(text: str) -> None:
    assert said(text) == "snug; 90°"
