from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.problem import Problem
from app.core.torque.bands import Band
from app.core.torque.text import (
    Limit,
    Quantity,
    Stage,
    StageKind,
    Torque,
    TorqueSpec,
    TorqueUnit,
    format_torque,
    parse_torque,
    show_converted,
    show_torque,
)
from app.core.torque.units import converted, unit_named
from app.core.torque.values import deviation_percent
from tests.core.check_files import Case, cases_of

NEWTON_METRE, POUND_FOOT, POUND_INCH = (
    TorqueUnit.NEWTON_METRE,
    TorqueUnit.POUND_FOOT,
    TorqueUnit.POUND_INCH,
)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases_of(metafunc, "torque_texts")


def numbers(band: Band, key: str) -> dict[str, float]:
    said = {"min": float(band.low), "max": float(band.high)} if key == "torque" else {}
    if key == "angle" and band.low != band.high and band.nominal is None:
        said |= {"min": float(band.low), "max": float(band.high)}
    elif key == "angle":
        said["degrees"] = float(band.target)
    if band.nominal is not None and band.tolerance is not None:
        said |= {"tolerance": float(band.tolerance)} | (
            {"nominal": float(band.nominal)} if key == "torque" else {}
        )
    return said


def column(main: Torque, other: Torque) -> dict[str, Any]:
    percent = round(deviation_percent(main, other), 1)
    return numbers(other.band, "torque") | {"unit": other.unit, "deviation_percent": percent}


def as_case(stage: Stage) -> dict[str, Any]:
    """Say a stage in the form of the check values."""
    if stage.torque is None:
        return {"type": stage.kind.value} | (numbers(stage.degrees, "angle") if stage.degrees else {})
    said = {
        "type": "torque",
        "unit": stage.torque.unit,
        "nm_min": round(stage.torque.low_nm, 2),
        "nm_max": round(stage.torque.high_nm, 2),
    } | numbers(stage.torque.band, "torque")
    return said | ({"also": [column(stage.torque, other) for other in stage.others]} if stage.others else {})


def with_our_units(expected: dict[str, Any]) -> dict[str, Any]:
    said = expected | ({"unit": unit_named(expected["unit"])} if "unit" in expected else {})
    return said | ({"also": [with_our_units(also) for also in said["also"]]} if "also" in said else {})


def read(text: str) -> TorqueSpec:
    spec = parse_torque(text)
    assert isinstance(spec, TorqueSpec), spec
    return spec


def refused(text: str) -> Problem:
    problem = parse_torque(text)
    assert isinstance(problem, Problem), problem
    assert problem.where == "torque"
    return problem


def said(text: str) -> str:
    return format_torque(read(text))


def test_a_printed_wording_is_read_as_a_mechanic_reads_it(case: Case) -> None:
    expected = case["expected"]
    if not expected["stages"]:
        refused(case["text"])
        return
    spec = read(case["text"])
    assert spec.text == case["text"]
    assert [as_case(stage) for stage in spec.stages] == [
        with_our_units(stage) for stage in expected["stages"]
    ]
    assert len(spec.stages) == expected["count_of_stages"]
    if "check-torque" in case.get("flags", ()):
        assert spec.final is None


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("27 lb in", "lb·in"),
        ("27 in/lb", "lb·in"),
        ("27 in.-lbf", "lb·in"),
        ("27 in.*lbf", "lb·in"),
        ("27 inch lbs.", "lb·in"),
        ("27 pound-inches", "lb·in"),
        ("27 ft. lbs.", "lb·ft"),
        ("27 lb/ft", "lb·ft"),
        ("27 lbf-ft", "lb·ft"),
        ("27 lb.f.ft", "lb·ft"),
        ("27 foot pounds force", "lb·ft"),
        ("27 pound-force-feet", "lb·ft"),
        ("27 kgf-cm", "kgf·cm"),
        ("27 kg-m", "kgf·m"),
        ("27 m-kg", "kgf·m"),
        ("27 mkg", "kgf·m"),
        ("27 Nm", "N·m"),
        ("27 N*m", "N·m"),
        ("27 N x m", "N·m"),
        ("27 newton-metres", "N·m"),
        ("27 N/m", "N·m"),
        ("27 Ncm", "N·cm"),
        ("27 daN.m", "daN·m"),
        ("27 oz-in", "ozf·in"),
    ],
)
def test_every_spelling_of_a_unit_is_known(text: str, unit: str) -> None:
    assert said(text) == f"27 {unit}"


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
    "label",
    [
        "",
        *(
            "Step {n}: ",
            "Stage {n} - ",
            "Stufe {n}: ",
            "{n}. Stufe ",
            "Phase {n} = ",
            "STEP {n}\n",
            "Step #{n}: ",
        ),
        *(
            "{n}. ",
            "{n}) ",
            "({n}) ",
            "{n}: ",
            "({a}) ",
            "{a}) ",
            "{a}. ",
            "{o}: ",
            "{o} ",
            "Stage {r}: ",
            "• ",
        ),
        "Step {n}: Tighten all bolts to ",
    ],
)
def test_stages_are_numbered_and_joined_in_any_usual_way(label: str) -> None:
    stages = ("20 ±2 Nm (15 lb-ft)", "30-40 Nm", "90°", "1/4 turn")
    marks = zip("1234", "abcd", ("1st", "2nd", "3rd", "4th"), ("I", "II", "III", "IV"), stages, strict=True)
    parts = [label.format(n=n, a=a, o=o, r=r) + stage for n, a, o, r, stage in marks]
    for join in (", ", "; ", " + ", ", then ", "\n", " → ", ". ", " followed by ", " plus "):
        assert said(join.join(parts)) == "20 ±2 N·m (15 lb·ft); 30–40 N·m; 90°; 90°", join


@pytest.mark.parametrize(
    ("text", "band"),
    [
        ("8-12 Nm", "8–12 N·m"),
        ("8…12 Nm", "8–12 N·m"),
        ("25 Nm to 30 Nm", "25–30 N·m"),
        ("between 20 and 25 Nm", "20–25 N·m"),
        ("50 (+/- 5) ft-lb", "50 ±5 lb·ft"),
        ("50 ft-lb +/- 5", "50 ±5 lb·ft"),
        ("50 N·m ±10 %", "50 ±5.0 N·m"),
        ("25 +5/-0 Nm", "25 +5/-0 N·m"),
        ("25 Nm (22-28 Nm)", "25 ±3 N·m"),
        ("3,7 mkg", "3.7 kgf·m"),
        ("1,200 lb-ft (1627 N·m)", "1200 lb·ft (1627 N·m)"),
        ("7½ ft-lb", "7.5 lb·ft"),
        ("20 Nm max.", "max. 20 N·m"),
        ("not less than 30 ft-lb", "min. 30 lb·ft"),
        ("20 N·m or more", "min. 20 N·m"),
        ("less than 20 N·m", "max. 20 N·m"),
        ("18 lb·ft (20 max)", "18 lb·ft"),
        ("min 20 Nm, max 25 Nm", "20–25 N·m"),
        ("8 Nm +2 Nm [6 lbf ft +1.5 lbf ft]", "8 +2/-0 N·m (6 +1.5/-0 lb·ft)"),
        ("18 lb·ft ± 50 percent", "18 ±9.00 lb·ft"),
        ("10to12N·m", "10–12 N·m"),
        ("1\u202f200 N·m", "1200 N·m"),
        ("20 [Nm]", "20 N·m"),
    ],
)
def test_ranges_tolerances_and_limits_are_read(text: str, band: str) -> None:
    assert said(text) == band


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("¼ turn", 90),
        ("three quarters of a turn", 270),
        ("one and a half turns", 540),
        ("a full turn", 360),
        ("2 flats", 120),
        ("a further 90 degrees", 90),
        ("180° (1/2 turn)", 180),
        ("1/3 to 1/2 turn", 150),
        ("1/6 turn", 60),
        ("85° to 95°", 90),
        ("90° (1/4) turn", 90),
    ],
)
def test_an_angle_may_be_printed_as_part_of_a_turn(text: str, degrees: int) -> None:
    (stage,) = read(text).stages
    assert stage.kind is StageKind.ANGLE
    assert stage.degrees
    assert stage.degrees.target == degrees


@pytest.mark.parametrize(
    "text",
    [
        "M8x1.25 bolts (4) to 25 Nm",
        "Torque all 10 head bolts to 25 Nm in 3 steps",
        "Tighten screw (Figure 6, Item 20) to 25 Nm",
        "25 Nm at 20 °C",
        "stretch 0.019-0.024 in. at 25 Nm",
        "25 Nm every 10,000 km",
        "Tighten nuts 1 through 8 to 25 Nm",
        "Tighten bolts 1, 2, 3 and 4 to 25 Nm",
        "Tighten caps 5 and 9 alternately to 25 Nm",
        "TM 9-2815-220-24: oil SAE 30, wait 10 min, 25 Nm",
    ],
)
def test_numbers_that_are_no_torque_are_passed_over(text: str) -> None:
    assert format_torque(TorqueSpec("", read(text).stages)) == "25 N·m"


@pytest.mark.parametrize(
    "text", ["25", "25 ft", "25 lb", "25 kg", "20 kg/cm2", "Tighten bolt to 25. Then 90°"]
)
def test_a_number_without_a_unit_is_refused_and_the_units_are_offered(text: str) -> None:
    problem = refused(text)
    assert problem.code == "unit-missing"
    assert "stopped at" in problem.message
    for unit in ("N·m", "lb·ft", "lb·in", "kgf·m", "kgf·cm"):
        assert unit in problem.message


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "torque-missing"),
        ("banana", "value-missing"),
        ("see page 12", "value-missing"),
        ("0 N·m", "torque-not-above-zero"),
        ("-5 N·m", "torque-negative"),
        ("nan N·m", "number-missing"),
        ("1e9 N·m", "torque-too-large"),
        ("12-8 N·m", "range-upside-down"),
        ("5 ±6 N·m", "torque-not-above-zero"),
        ("Bolt 1 - 25 Nm", "range-too-wide"),
        ("1/2 lb·ft", "fraction-or-range"),
        ("1/0 turn", "angle-unreadable"),
        ("9999°", "angle-out-of-range"),
        ("90° (1/2 turn)", "angles-disagree"),
        ("9.5 Newton metre (lb-ft)", "number-missing"),
        ("23 lb ft dry, 18 lb ft oiled", "two-conditions"),
        ("25 N·m " * 100, "torque-too-long"),
        ("M8: 25 Nm, M10: 49 Nm", "two-fasteners"),
        ("Bolt 1: 25 Nm, bolt 2: 35 Nm", "two-fasteners"),
        ("bolts A to 20 Nm and bolts B to 35 Nm", "two-fasteners"),
        ("upper bolt 25 Nm, lower bolt 35 Nm", "two-fasteners"),
        ("Head bolts (long) 95 ft-lb, (short) 75 ft-lb", "two-fasteners"),
        ("30 ft-lb (steel) or 20 ft-lb (aluminum)", "either-or"),
        ("50 Nm + 30 Nm", "plus-unclear"),
        ("Tighten nut 8 to 20 Nm", "range-too-wide"),
        ("Clutch bolt M6 6 10 Nm", "unit-missing"),
        ("500 mN·m", "unit-missing"),
        ("cover, 4, 25 Nm", "unit-missing"),
        ("1e99999999999999999999 then 50 Nm", "unit-missing"),
    ],
)
def test_what_cannot_be_read_or_cannot_be_right_is_refused(text: str, code: str) -> None:
    assert refused(text).code == code


def test_text_that_stops_making_sense_says_where() -> None:
    assert "“17 gizmos”" in refused("20 N·m and then 17 gizmos").message


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


def test_columns_that_agree_within_three_percent_are_kept_as_columns() -> None:
    spec = read("36 N·m (27 lb·ft, 370 kgf·cm)")
    assert [show_torque(other) for other in spec.others] == ["27 lb·ft", "370 kgf·cm"]
    assert not spec.disagreements


def test_columns_beyond_three_percent_disagree_and_rounding_is_told() -> None:
    (coarse,) = read("10-15 lb-ft (14-20 Nm)").disagreements
    (wrong,) = read("20 ft-lbs (25 Nm)").disagreements
    assert (coarse.rounded, wrong.rounded) == (True, False)
    assert wrong.percent == pytest.approx(7.8, abs=0.05)


def test_the_final_torque_is_the_last_one_tightened_to() -> None:
    final = read("20 N·m + 40 N·m + 90°").final
    assert final
    assert final.torque == Torque(Band(Decimal(40), Decimal(40)), NEWTON_METRE)


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


@pytest.mark.parametrize(
    ("value", "unit", "to_unit", "shown"),
    [
        ("36", NEWTON_METRE, POUND_FOOT, "≈26.6 lb·ft"),
        ("7.5", NEWTON_METRE, POUND_INCH, "≈66.4 lb·in"),
        ("10", NEWTON_METRE, POUND_INCH, "≈88.5 lb·in"),
        ("9", NEWTON_METRE, POUND_FOOT, "≈6.64 lb·ft"),
        ("2.0", TorqueUnit.KILOGRAM_METRE, POUND_FOOT, "≈14.5 lb·ft"),
        ("40", POUND_FOOT, NEWTON_METRE, "54 N·m"),
        ("335", NEWTON_METRE, POUND_FOOT, "247 lb·ft"),
        ("25.0", NEWTON_METRE, NEWTON_METRE, "25.0 N·m"),
    ],
)
def test_a_conversion_is_true_to_half_a_percent_and_says_where_it_needs_more_digits(
    value: str, unit: TorqueUnit, to_unit: TorqueUnit, shown: str
) -> None:
    assert show_converted(Quantity(Decimal(value), unit), to_unit) == shown


@given(st.decimals("0.5", "999", places=1), st.sampled_from(TorqueUnit), st.sampled_from(TorqueUnit))
@settings(max_examples=300)
def test_no_conversion_is_off_by_more_than_half_a_percent(
    value: Decimal, unit: TorqueUnit, to: TorqueUnit
) -> None:
    shown = show_converted(Quantity(value, unit), to).split(" ")[0]
    exact = converted(Quantity(value, unit), to).value
    assert abs(Decimal(shown.removeprefix("≈")) - exact) <= Decimal("0.0051") * exact
    assert shown.startswith("≈") or len(Decimal(shown).as_tuple().digits) <= max(
        2, len(value.as_tuple().digits)
    )


def test_a_range_is_converted_at_both_ends() -> None:
    assert (
        show_converted(Torque(Band(Decimal(20), Decimal(25)), NEWTON_METRE), POUND_FOOT) == "≈14.8–18.4 lb·ft"
    )


positive = st.decimals("0.1", "180", places=2)


@st.composite
def bands(draw: st.DrawFn) -> Band:
    low = draw(positive)
    kind = draw(st.sampled_from(["one", "range", "tolerance", "two sides"]))
    if kind == "one":
        return Band(low, low)
    if kind == "range":
        return Band(low, low * draw(st.decimals("1.1", "4.9", places=1)))
    down = low * draw(st.decimals("0.1", "0.5", places=1))
    up = down if kind == "tolerance" else down * 2
    return Band(low - down, low + up, low)


torques = st.builds(Torque, bands(), st.sampled_from(TorqueUnit))
STATES = ("dry", "oiled", "cold", "hot", "left-hand thread")


def in_unit(torque: Torque, unit: TorqueUnit) -> Torque:
    low, high, target = (
        converted(Quantity(end, torque.unit), unit).value.quantize(Decimal("1e-6"))
        for end in (torque.band.low, torque.band.high, torque.band.target)
    )
    return Torque(Band(low, high, None if torque.band.nominal is None else target), unit)


@st.composite
def stages(draw: st.DrawFn) -> Stage:
    kind = draw(st.sampled_from(StageKind))
    limit = draw(st.sampled_from(Limit))
    if kind is StageKind.TORQUE:
        main = draw(torques)
        units = draw(st.lists(st.sampled_from(TorqueUnit), max_size=2, unique=True))
        others = tuple(in_unit(main, unit) for unit in units if unit is not main.unit)
        return Stage(kind, main, others=others, limit=limit)
    turned = kind is StageKind.ANGLE or (kind is StageKind.LOOSEN and draw(st.booleans()))
    degrees = draw(bands()) if turned else None
    return Stage(kind, degrees=degrees, limit=limit if degrees else Limit.NONE)


@given(
    st.lists(stages(), min_size=1, max_size=5),
    st.lists(st.sampled_from(STATES), max_size=1),
    st.booleans(),
)
@settings(max_examples=150)
def test_reading_what_is_written_gives_the_same(listed: list[Stage], states: list[str], later: bool) -> None:
    apart = [stage for at, stage in enumerate(listed) if not at or listed[at - 1].kind != stage.kind]
    units = [stage.torque.unit for stage in apart if stage.torque]
    spec = TorqueSpec("", tuple(apart), tuple(states), recheck=later and len(units) < 2)
    assert parse_torque(format_torque(spec)) == spec


@given(torques)
def test_a_turning_torque_that_is_written_is_read_as_one(torque: Torque) -> None:
    spec = TorqueSpec("", (Stage(StageKind.TORQUE, torque, check=True),))
    assert parse_torque(format_torque(spec)) == spec


@given(st.text(max_size=60) | st.text("0123456789 .,-+/±°()[]xNmlbftinkgc", max_size=40))
@settings(max_examples=300)
def test_any_text_is_read_or_refused_without_a_traceback(text: str) -> None:
    spec = parse_torque(text)
    if isinstance(spec, TorqueSpec):
        assert parse_torque(format_torque(spec)) == spec
    else:
        assert spec.message
