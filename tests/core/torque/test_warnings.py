"""Words that forbid, limit or question a printed torque."""

import pytest

from tests.core.torque.printed import code, read, said


@pytest.mark.parametrize(
    ("both", "one"),
    [
        ("33 N·m + 60°", "33 N·m or 60°"),
        ("33 N·m und 60°", "33 N·m oder 60°"),
        ("33 N·m et 60°", "33 N·m ou 60°"),
        ("33 N·m y 60°", "33 N·m o 60°"),
        ("33 N·m e 60°", "33 N·m o 60°"),
        ("33 N·m en 60°", "33 N·m of 60°"),
        ("33 N·m e 60°", "33 N·m ou 60°"),
        ("33 N·m och 60°", "33 N·m eller 60°"),
        ("33 N·m plus 60°", "either 33 N·m or 60°"),
    ],
)
def test_both_and_either_are_told_apart_in_every_language(both: str, one: str) -> None:
    assert (said(both), code(one)) == ("33 N·m; 60°", "either-or")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("Do not turn the bolts 90°", "negation"),
        ("do not back it off 60°", "negation"),
        ("mit 33 N·m anziehen, nicht lösen", "negation"),
        ("ne pas serrer à 33 N.m", "negation"),
        ("no apretar a 33 N·m", "negation"),
        ("non serrare a 33 Nm", "negation"),
        ("niet aandraaien met 33 Nm", "negation"),
        ("não apertar a 33 N·m", "negation"),
        ("dra inte åt till 33 Nm", "negation"),
        ("sans serrer à 25 N.m", "negation"),
        ("30 N·m minus 60°", "minus"),
        ("30 N·m menos 60°", "minus"),
        ("33 N·m min 60°", "minus"),
        ("20 N·m plus prevailing torque", "run-on"),
        ("add the run-down torque to 33 N·m", "run-on"),
        ("torque required to turn 2 N·m; nut 90 N·m", "run-on"),
        ("if oiled 20 N·m", "conditional"),
        ("for example 50 N·m", "not-a-value"),
        ("20 N·m per 10 mm", "not-a-value"),
        ("1 kgf·m = 9.8 N·m", "not-a-value"),
        ("80 % of 50 N·m", "share"),
        ("measured 80 N·m", "measured"),
        ("25 N·m, recheck to 30 N·m after 500 km", "later-value"),
        ("between 20 N·m", "range-open"),
        ("30 N·m less than the bolt bears", "limit-unread"),
    ],
)
def test_what_is_no_order_to_tighten_is_refused_with_its_reason(text: str, why: str) -> None:
    assert code(text) == why


@pytest.mark.parametrize(
    "text",
    [
        "36 in-lb driving torque",
        "0-150 lb-ft torque wrench",
        "turning torque 5 Nm",
        "stall torque 200 lb-ft",
        "320 N·m at 1800 rpm",
    ],
)
def test_a_turning_torque_or_a_tools_range_is_not_taken_for_a_tightening_value(text: str) -> None:
    assert read(text).final is None
