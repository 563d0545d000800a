import pytest

from app.core.problem import Problem
from app.core.threads.preload import Friction
from app.core.threads.text import Thread, parse_thread
from app.core.torque.plausibility import Joint, Review, review_torque
from app.core.torque.text import TorqueSpec, parse_torque


def review(
    text: str,
    thread: str = "M8",
    class_text: str = "8.8",
    friction: Friction = Friction.DRY,
    joint: Joint = Joint.STEEL,
) -> Review | Problem:
    spec, size = parse_torque(text), parse_thread(thread)
    assert isinstance(spec, TorqueSpec), spec
    assert isinstance(size, Thread), size
    return review_torque(spec, size, class_text, friction, joint)


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
        ("25 kgf·m", "25 N·m would be usual"),
        ("250 N·m", "250 kgf·cm would be usual"),
    ],
)
def test_a_torque_far_above_names_the_slip_of_the_unit(text: str, meant: str) -> None:
    assert meant in cautions(review(text))["far-above"]


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("20 lb·in", "20 lb·ft would be usual"),
        ("2.5 N·m", "2.5 kgf·m would be usual"),
        ("2.5 kgf·cm", "2.5 kgf·m would be usual"),
    ],
)
def test_an_absurdly_low_torque_names_the_slip_of_the_unit(text: str, meant: str) -> None:
    assert meant in cautions(review(text))["absurdly-low"]


def test_a_slipped_decimal_point_is_named_where_no_unit_explains_it() -> None:
    message = cautions(review("2.5 lb·ft", "M10"))["absurdly-low"]
    assert "25 lb·ft is usual: did the decimal point slip?" in message


def test_a_caution_says_that_the_makers_figure_decides() -> None:
    assert "The maker's figure decides" in cautions(review("220 lb·ft"))["far-above"]


def test_a_low_torque_that_is_turned_further_by_an_angle_gets_no_caution() -> None:
    assert "absurdly-low" in cautions(review("2 N·m"))
    assert cautions(review("2 N·m + 90°")) == {}


@pytest.mark.parametrize("joint", [Joint.ALUMINIUM, Joint.PLASTIC, Joint.BANJO])
def test_the_band_does_not_apply_where_something_weaker_than_the_bolt_decides(joint: Joint) -> None:
    assert list(cautions(review("220 lb·ft", joint=joint))) == ["does-not-apply"]


def test_an_unknown_class_is_judged_by_the_weakest_and_the_strongest() -> None:
    assert cautions(review("40 N·m", class_text="")) == {}
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


@pytest.mark.parametrize(("share", "is_far"), [(1.199, False), (1.201, True)])
def test_a_torque_is_far_above_from_a_fifth_over_proof_with_the_stiffest_friction(
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
