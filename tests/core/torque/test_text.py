from decimal import Decimal
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

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
)
from app.core.torque.units import converted, unit_named
from app.core.torque.values import deviation_percent
from tests.core.check_files import Case, cases_of
from tests.core.torque.printed import code, read, refused

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
    turned = [at for at, stage in enumerate(apart[:-1]) if stage.kind is StageKind.ANGLE]
    assume(not any(apart[at + 1].kind is StageKind.SNUG for at in turned))  # it is asked about
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


@pytest.mark.parametrize(
    "text",
    ["Kiristä pultit, avaa ja kiristä 30 Nm", "Head 60 Nm\nCover 10 Nm\nPan 12 Nm\nPump 25 Nm", "x " * 400,
     "Bolt | Size | Torque\nHead | M10 | 60 Nm\nCover | M6 | 10 Nm", "M8 | | 25 | Nm"],
)  # fmt: skip
def test_a_page_a_table_or_an_unknown_language_is_refused(text: str) -> None:
    assert code(text)
