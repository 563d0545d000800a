"""What a printed torque orders: direction first, every word and number accounted for, choices kept apart."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.problem import Problem
from app.core.torque.choices import (
    choices_of,
    needs_confirming,
    says_the_same,
    stands_unasked,
)
from app.core.torque.lexicon import ROLES
from app.core.torque.text import TorqueSpec, format_torque, parse_torque


def said(text: str) -> str:
    spec = parse_torque(text)
    assert isinstance(spec, TorqueSpec), spec
    return format_torque(spec)


def code(text: str) -> str:
    problem = parse_torque(text)
    assert isinstance(problem, Problem), format_torque(problem)
    assert problem.message
    return problem.code


@pytest.mark.parametrize(
    ("tightened", "loosened"),
    [
        ("turn the nut a further 60°", "turn the nut back 60°"),
        ("turn it on 60°", "back it off 60 degrees"),
        ("um 60° weiterdrehen", "um 60° zurückdrehen"),
        ("um 1/6 Drehung", "um 1/6 Drehung lösen"),
        ("resserrer d'un sixième de tour", "desserrer d'un sixième de tour"),
        ("tourner de 60°", "revenir de 60°"),
        ("60° más", "60° atrás"),
        ("gire 60°", "afloje 60°"),
        ("avanzare di 60°", "allentare di 60°"),
        ("un sesto di giro oltre", "un sesto di giro indietro"),
        ("60° verder", "60° terug"),
        ("draai de moer 60° aan", "draai de moer 60° los"),
        ("aperte 60°", "desaperte 60°"),
        ("dra 60°", "lossa 60°"),
        ("vrid 60°", "vrid tillbaka 60°"),
        ("turn 60° clockwise", "turn 60° counter-clockwise"),
        ("turn one flat", "ease it off one flat"),
    ],
)
def test_a_turn_on_and_a_turn_back_are_told_apart_in_every_language(tightened: str, loosened: str) -> None:
    assert (said(tightened), said(loosened)) == ("60°", "loosen 60°")


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
        ("loosen to 30 N·m", "loosen-to"),
        ("back off to 10 N·m", "loosen-to"),
        ("Muttern auf 20 Nm nachlassen", "loosen-to"),
        ("afloje hasta 20 N·m", "loosen-to"),
        ("-90° then 45 N·m", "angle-sign"),
        ("– 60° + 33 N.m", "angle-sign"),
        ("33 N·m - 60°", "angle-sign"),
        ("30 N·m minus 60°", "minus"),
        ("30 N·m menos 60°", "minus"),
        ("33 N·m min 60°", "minus"),
        ("tighten 1/4 turn back", "direction"),
        ("loosen and turn 90°", "direction"),
        ("turn left 90°", "direction"),
        ("come back, 25 N·m", "direction"),
        ("30 N·m, then a snarf turn", "turn-unread"),
        ("30 N·m, then turns", "turn-unread"),
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
        ("25 N·m, 3/4 turn after seating", "either-or"),
        ("14 N·m (or 3/4 turn)", "either-or"),
        ("between 20 N·m", "range-open"),
        ("30 N·m less than the bolt bears", "limit-unread"),
    ],
)
def test_what_is_no_order_to_tighten_is_refused_with_its_reason(text: str, why: str) -> None:
    assert code(text) == why


@pytest.mark.parametrize(
    "text",
    [
        "Front 30 N·m, rear 40 N·m",
        "vorn 30 Nm, hinten 40 Nm",
        "avant 30 N.m, arrière 40 N.m",
        "delantero 30 N·m, trasero 40 N·m",
        "anteriore 30 Nm, posteriore 40 Nm",
        "voor 30 Nm, achter 40 Nm",
        "dianteiro 30 N·m, traseiro 40 N·m",
        "fram 30 Nm, bak 40 Nm",
        "4-5 Nm (dry), 6-7 Nm (greased)",
        "trocken 30 Nm, geölt 24 Nm",
        "Einlass 20 Nm; Auslass 25 Nm",
        "20 N·m cold, 25 N·m hot",
        "Bolts 10 N·m, nuts 14 N·m",
        "tighten bolts to 20 N·m, then nuts to 30 N·m",
        "tighten bolts A to 20 N·m, then bolts B to 30 N·m",
        "first bolt 20 N·m, second bolt 30 N·m",
        "M8 25 N·m, M10 49 N·m",
        "25 N·m (M8), 49 N·m (M10)",
        "Grade 5: 30 lb·ft, grade 8: 45 lb·ft",
        "Pump 25 Nm\nCover 30 Nm",
        "20 N·m (no. 1 to 8), 25 N·m (no. 9 and 10)",
        "110 N·m (alloy: 130 N·m)",
        "bolts (1) to 20 N·m. Tighten bolts (2) to 30 N·m.",
        "20 N·m, then the others to 30 N·m",
    ],
)
def test_values_under_two_headings_are_alternatives_whether_they_rise_or_fall(text: str) -> None:
    assert code(text) in {"two-fasteners", "two-conditions", "two-values"}


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Front 33 N·m, rear 44 N·m", ("Front 33 N·m", "rear 44 N·m")),
        ("5 Nm (dry), 7 Nm (greased)", ("5 Nm (dry)", "7 Nm (greased)")),
        ("33 N·m or 75°", ("33 N·m", "75°")),
        ("Head bolts: 20 Nm + 90°; manifold 25 Nm", ("Head bolts: 20 Nm + 90°", "manifold 25 Nm")),
        ("25 N·m", ()),
        ("110 N·m (alloy: 130 N·m)", ()),
        ("M6 1 N·m, M8 5", ()),
    ],
)
def test_alternatives_are_kept_with_their_texts_for_a_person_to_choose(
    text: str, parts: tuple[str, ...]
) -> None:
    assert tuple(choice.text for choice in choices_of(text)) == parts


@pytest.mark.parametrize(
    "text",
    [
        "20 N·m -> +60° (2.0 kgf·m -> +60°)",
        "20 N·m plus 60° (15 lb·ft plus 60°)",
        "20 N·m + 60° / 15 lb·ft + 60°",
        "20 N·m + 60° = 15 lb·ft + 60°",
        "20 N·m + 60°\n15 lb·ft + 60°",
    ],
)
def test_a_chain_in_two_units_is_run_once(text: str) -> None:
    assert re.sub(r" \(.*?\)", "", said(text)) == "20 N·m; 60°"


def test_a_chain_in_brackets_that_says_something_else_is_refused() -> None:
    assert code("20 N·m + 60° (15 lb·ft + 90°)") == "chains-disagree"
    assert code("20 N·m + 60° (30 lb·ft + 60°)") == "chains-disagree"


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("one twelfth of a turn", "30°"),
        ("Viertelumdrehung", "90°"),
        ("eine halbe Umdrehung", "180°"),
        ("un quart de tour", "90°"),
        ("un demi-tour", "180°"),
        ("media vuelta", "180°"),
        ("un octavo de vuelta", "45°"),
        ("mezzo giro", "180°"),
        ("1/4 di giro", "90°"),
        ("een kwartslag", "90°"),
        ("een halve slag", "180°"),
        ("meia volta", "180°"),
        ("ett kvarts varv", "90°"),
        ("ett halvt varv", "180°"),
        ("two further turns of 90°", "90°; 90°"),
        ("one and a quarter turns", "450°"),
    ],
)
def test_a_fraction_word_multiplies_the_turn_behind_it(text: str, degrees: str) -> None:
    assert said(text) == degrees


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("1.250 N·m", "thousands"),
        ("1,250 lb·in", "thousands"),
        ("1.150 N·cm", "thousands"),
        ("2025 N·m (15-18 lb·ft)", "hyphen-lost"),
        ("2030 N·m", "hyphen-lost"),
        ("912 lb·ft", "hyphen-lost"),
        ("10 N·m (89 lb·ft)", "columns-apart"),
        ("20 N·m (20 kgf·m)", "columns-apart"),
        ("40 N·m 90", "unit-missing"),
        ("40 N·m + 90 o", "either-or"),
        ("⁵⁰ N·m", "number-missing"),
        ("8 - N·m", "unit-missing"),
        ("bolts 20 and 30 N·m", "unit-missing"),
        ("20 N·m 2", "unit-missing"),
        ("50 N·m plus 30 N·m", "plus-unclear"),
    ],
)
def test_a_figure_that_can_be_two_is_asked_about(text: str, why: str) -> None:
    assert code(text) == why


@pytest.mark.parametrize(
    ("text", "reading"),
    [
        ("1,250 lb·in (141 N·m)", "1250 lb·in (141 N·m)"),
        ("1.250 kgf·m (12.3 N·m)", "1.25 kgf·m (12.3 N·m)"),
        ("1.86-2.046 N·m", "1.86–2.0460 N·m"),
        ("２５ Ｎ·ｍ", "25 N·m"),
        ("1356 N·m (1000 lb·ft)", "1356 N·m (1000 lb·ft)"),
        ("1130 N·cm", "1130 N·cm"),
    ],
)
def test_a_second_column_or_the_other_end_decides_a_figure(text: str, reading: str) -> None:
    assert said(text) == reading


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


@given(st.integers(5, 400), st.sampled_from(["N·m", "lb·ft", "lb·in", "kgf·m"]), st.integers(0, 99_999_999))
def test_a_number_beside_a_value_is_never_dropped(value: int, unit: str, number: int) -> None:
    spec = parse_torque(f"{value} {unit} {number}")
    assert isinstance(spec, Problem)


def test_an_old_reading_stays_where_the_new_one_says_the_same_in_plain_form() -> None:
    assert says_the_same("25 N·m; 90°", "Tighten to 25 N·m, then turn 90°")
    assert stands_unasked("25 N·m; 90°", "Tighten to 25 N·m, then turn 90°")
    assert not says_the_same("25 N·m; 90°", "25 N·m, then turn back 90°")
    assert not says_the_same("25 N·m", "25 N·m (oiled)")
    assert says_the_same("25 N·m (oiled)", "25 N·m (oiled)")
    assert not stands_unasked("25 N·m (oiled)", "25 N·m (oiled)")
    assert not says_the_same("25 N·m", "banana")


@pytest.mark.parametrize(
    "text",
    ["Kiristä pultit, avaa ja kiristä 30 Nm", "Head 60 Nm\nCover 10 Nm\nPan 12 Nm\nPump 25 Nm", "x " * 400,
     "Bolt | Size | Torque\nHead | M10 | 60 Nm\nCover | M6 | 10 Nm", "M8 | | 25 | Nm"],
)  # fmt: skip
def test_a_page_a_table_or_an_unknown_language_is_refused(text: str) -> None:
    assert code(text)
