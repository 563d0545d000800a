from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.problem import Problem
from app.core.threads.preload import Friction
from app.core.threads.text import Thread, parse_thread
from app.core.torque.bands import Band
from app.core.torque.bolt import Joint
from app.core.torque.plausibility import (
    Review,
    column_cautions,
    review_torque,
)
from app.core.torque.text import (
    Stage,
    StageKind,
    Torque,
    TorqueSpec,
    TorqueUnit,
    parse_torque,
)
from app.core.torque.units import (
    NEWTON_METRES,
    Quantity,
    converted,
    sensible,
)


def size(text: str) -> Thread:
    thread = parse_thread(text)
    assert isinstance(thread, Thread), thread
    return thread


def review(
    text: str,
    thread: str = "M8",
    class_text: str = "8.8",
    friction: Friction = Friction.DRY,
    joint: Joint = Joint.STEEL,
) -> Review | Problem:
    spec = parse_torque(text)
    assert isinstance(spec, TorqueSpec), spec
    return review_torque(spec, size(thread), class_text, friction, joint)


def cautions(found: Review | Problem) -> dict[str, str]:
    assert isinstance(found, Review), found
    return {caution.code: caution.message for caution in found.cautions}


@pytest.mark.parametrize("text", ["25 N·m", "18 lb·ft", "220 lb·in", "2.5 kgf·m", "20 N·m + 90°"])
def test_a_usual_torque_gets_no_caution(text: str) -> None:
    assert cautions(review(text)) == {}


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("220 lb·ft", "220 lb·in would be usual"),
        ("25 kgf·m", "25 N·m or 25 lb·ft would be usual"),
        ("250 N·m", "250 lb·in or 250 kgf·cm would be usual"),
    ],
)
def test_a_torque_far_above_names_the_slip_of_the_unit(text: str, meant: str) -> None:
    assert meant in cautions(review(text))["far-above"]


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("20 lb·in", "20 lb·ft or 20 N·m would be usual"),
        ("2.5 N·m", "2.5 daN·m or 2.5 kgf·m would be usual"),
        ("2.5 kgf·cm", "2.5 kgf·m would be usual"),
    ],
)
def test_an_absurdly_low_torque_names_the_slip_of_the_unit(text: str, meant: str) -> None:
    assert meant in cautions(review(text))["absurdly-low"]


def test_a_slipped_decimal_point_is_named_where_no_unit_explains_it() -> None:
    message = cautions(review("0.40 kgf·m", "M10"))["absurdly-low"]
    assert "4 kgf·m is usual: did the decimal point slip?" in message


def test_a_caution_says_that_the_makers_figure_decides() -> None:
    assert "The maker's figure decides" in cautions(review("220 lb·ft"))["far-above"]


def test_a_low_torque_that_is_turned_further_by_an_angle_gets_no_caution() -> None:
    assert "absurdly-low" in cautions(review("2 N·m"))
    assert cautions(review("2 N·m + 90°")) == {}


@pytest.mark.parametrize("joint", [Joint.PLASTIC, Joint.BANJO])
def test_the_band_does_not_apply_where_something_weaker_than_the_bolt_decides(joint: Joint) -> None:
    assert list(cautions(review("220 lb·ft", joint=joint))) == ["does-not-apply"]


def test_an_unknown_class_is_judged_by_the_weakest_and_the_strongest() -> None:
    assert cautions(review("30 N·m", class_text="")) == {}
    assert "far-above" in cautions(review("220 lb·ft", class_text=""))


def test_columns_that_disagree_are_a_caution() -> None:
    assert "differ by 7.8 %" in cautions(review("20 ft-lbs (25 Nm)", "M10"))["columns-disagree"]


def test_the_band_is_wider_the_less_is_known_of_the_friction() -> None:
    dry, unknown = review("25 N·m"), review("25 N·m", friction=Friction.UNKNOWN)
    assert isinstance(dry, Review)
    assert isinstance(unknown, Review)
    assert unknown.share[0] < dry.share[0] < dry.share[1] < unknown.share[1]


@pytest.mark.parametrize(
    ("text", "thread", "class_text", "where"),
    [
        ("90°", "M8", "8.8", "torque"),
        ("25 N·m", "1/8 NPT", "8.8", "thread"),
        ("25 N·m", "M8", "7.7", "class"),
    ],
)
def test_what_cannot_be_reviewed_names_the_field(text: str, thread: str, class_text: str, where: str) -> None:
    problem = review(text, thread, class_text)
    assert isinstance(problem, Problem)
    assert problem.where == where


@pytest.mark.parametrize(("share", "is_far"), [(0.949, False), (0.951, True)])
def test_a_torque_is_far_above_from_just_below_proof_with_the_stiffest_friction(
    share: float, is_far: bool
) -> None:
    found = review("100 N·m")
    assert isinstance(found, Review)
    at_bound = 100 * share / found.share[0]

    assert ("far-above" in cautions(review(f"{at_bound:.4f} N·m"))) is is_far


@pytest.mark.parametrize(("share", "is_low"), [(0.101, False), (0.099, True)])
def test_a_torque_is_absurdly_low_below_a_tenth_of_proof_with_the_most_slippery_friction(
    share: float, is_low: bool
) -> None:
    found = review("10 N·m")
    assert isinstance(found, Review)
    at_bound = 10 * share / found.share[1]

    assert ("absurdly-low" in cautions(review(f"{at_bound:.4f} N·m"))) is is_low


SIZES = {"M5": "5.5", "M6": "9.5", "M8": "23", "M10": "45", "M12": "78", "M14": "125", "3/8-16": "42"}


@pytest.mark.parametrize("joint", [Joint.STEEL, Joint.ALUMINIUM])
@pytest.mark.parametrize("class_text", ["", "known"])
@pytest.mark.parametrize(
    ("meant", "read"),
    [
        *(("lb·ft", "lb·in"), ("kgf·m", "N·m"), ("N·m", "kgf·cm"), ("N·m", "lb·in"), ("daN·m", "N·m")),
        *(("lb·in", "lb·ft"), ("N·m", "kgf·m"), ("kgf·cm", "N·m"), ("lb·in", "N·m"), ("kgf·m", "kgf·cm")),
    ],
)
@pytest.mark.parametrize("thread", SIZES)
def test_a_unit_read_wrongly_is_told_up_and_down_with_friction_unknown(
    thread: str, meant: str, read: str, class_text: str, joint: Joint
) -> None:
    unit = next(unit for unit in TorqueUnit if unit == meant)
    number = sensible(
        converted(Quantity(Decimal(SIZES[thread]), TorqueUnit.NEWTON_METRE), unit).value, Decimal(10)
    )
    known = "SAE grade 5" if thread[0] != "M" else "8.8"
    named = known if class_text else ""
    right = review(f"{number:f} {meant}", thread, named, Friction.UNKNOWN, joint)
    wrong = review(f"{number:f} {read}", thread, named, Friction.UNKNOWN, joint)
    assert cautions(right) == {}
    told = cautions(wrong)
    assert told.keys() & {"far-above", "above-usual", "absurdly-low", "unit-slip"}
    assert f"{number:f} {meant}" in " ".join(told.values())


@pytest.mark.parametrize(
    ("text", "joint", "code"),
    [
        ("37 N·m", Joint.STEEL, None),
        ("40 N·m", Joint.STEEL, "above-usual"),
        ("50 N·m", Joint.STEEL, "above-usual"),
        ("57 N·m", Joint.STEEL, "far-above"),
        ("22 N·m", Joint.ALUMINIUM, None),
        ("40 N·m", Joint.ALUMINIUM, "far-above"),
        ("8 N·m", Joint.STEEL, None),
        ("5 N·m", Joint.STEEL, None),
    ],
)
def test_between_usual_and_proof_a_soft_caution_is_told_and_near_proof_a_hard_one(
    text: str, joint: Joint, code: str | None
) -> None:
    found = review(text, friction=Friction.UNKNOWN, joint=joint)
    assert isinstance(found, Review)
    assert [caution.code for caution in found.cautions] == ([code] if code else [])
    assert [caution.is_hard for caution in found.cautions] == ([code == "far-above"] if code else [])
    assert all(caution.basis for caution in found.cautions)


def test_what_is_taken_for_granted_is_said() -> None:
    found = review("40 N·m", class_text="", friction=Friction.UNKNOWN)
    assert isinstance(found, Review)
    assert "K = 0.20" in found.taken
    assert "8.8" in found.taken
    assert found.taken in found.cautions[0].message
    known = review("40 N·m")
    assert isinstance(known, Review)
    assert known.taken == ""


def test_the_usual_torque_is_that_of_a_published_example() -> None:
    """M10 class 8.8 at 75 % of proof with K = 0.2: 52.2 N·m, https://engitoolbox.org/calculators/bolt-torque.

    That page takes 600 MPa for 8.8; ISO 898-1 has 580 up to M16.
    """
    found = review("50 N·m", "M10", "8.8", Friction.UNKNOWN)
    assert isinstance(found, Review)
    assert found.usual_nm == pytest.approx(52.2 * 580 / 600, rel=2e-3)


@given(
    st.sampled_from([*SIZES]), st.floats(0.7, 1.2), st.sampled_from(TorqueUnit), st.sampled_from(TorqueUnit)
)
@settings(max_examples=300)
def test_scaling_the_unit_of_a_text_changes_the_review(
    thread: str, share: float, unit: TorqueUnit, other: TorqueUnit
) -> None:
    factor = float(NEWTON_METRES[other] / NEWTON_METRES[unit])
    number = sensible(
        converted(Quantity(Decimal(SIZES[thread]) * Decimal(share), TorqueUnit.NEWTON_METRE), unit).value,
        Decimal(10),
    )
    known = "SAE grade 5" if thread[0] != "M" else "8.8"
    right, wrong = (
        review_torque(
            TorqueSpec("", (Stage(StageKind.TORQUE, Torque(Band(number, number), one)),)), size(thread), known
        )
        for one in (unit, other)
    )
    assert cautions(right) == {}
    if not 1 / 5 < factor < 5 / 2:
        assert cautions(wrong)


def test_two_units_that_disagree_by_a_factor_are_noticed_without_a_thread() -> None:
    assert isinstance(parse_torque("10 N·m (89 lb·ft)"), Problem)
    spec = parse_torque("20 ft-lbs (25 Nm)")
    assert isinstance(spec, TorqueSpec)
    assert [caution.code for caution in column_cautions(spec)] == ["columns-disagree"]
