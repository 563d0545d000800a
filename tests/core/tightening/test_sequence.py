import re
from collections.abc import Callable
from decimal import Decimal
from math import hypot
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.items.items import Fastener
from app.core.problem import Problem
from app.core.tightening.sequence import (
    DEFAULT_SHARES,
    circle_points,
    grid_points,
    line_order,
    loosening_order,
    own_order,
    pass_torques,
    rectangle_order,
    star_order,
)
from app.core.tightening.stages import stages_of
from tests.core.check_files import Case, cases_of


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases_of(metafunc, "tightening_order")


def imbalance(bolts: int, group: int) -> float:
    """The largest sum of forces after a whole group, as directions from the middle, [-]."""
    points, order = circle_points(bolts), star_order(bolts)
    tightened = [[points[number - 1] for number in order[:end]] for end in range(group, bolts + 1, group)]
    return max(hypot(sum(x for x, _ in done), sum(y for _, y in done)) for done in tightened)


def columns_from_centre(rows: int, columns: int) -> list[float]:
    return [abs((number - 1) % columns - (columns - 1) / 2) for number in rectangle_order(rows, columns)]


def fits_rounds(rounds: list[str]) -> str:
    """Whether the default shares for so many rounds lie in the published spans."""
    shares = DEFAULT_SHARES[len(rounds)]
    for share, span in zip(shares, rounds, strict=True):
        low, _, high = span.removesuffix(" %").partition("-")
        assert float(low) <= 100 * share <= float(high or low)
    torques = [stage.printed.torque for stage in stages_of(Fastener(torque="100 N·m", passes=len(rounds)))]
    assert [float(torque.band.target) for torque in torques if torque] == [100 * share for share in shares]
    return "monotone, last = 100 %"


def star_as_printed(inputs: dict[str, Any]) -> list[int]:
    assert inputs["numbering"] == "clockwise 1..n"
    return list(star_order(inputs["bolts"]))


def balance_as_printed(inputs: dict[str, Any]) -> float:
    group = re.fullmatch(r"vector sum of tightened bolts after each (?:group of (\d+)|pair)", inputs["test"])
    assert group, inputs["test"]
    return round(imbalance(inputs["bolts"], int(group[1] or 2)), 9)


def passes_as_printed(inputs: dict[str, Any]) -> list[float]:
    """The torques in the unit of the final one; where the shares are a group's own, by the group's stages."""
    ((name, final),) = ((key, value) for key, value in inputs.items() if key.startswith("final"))
    shares = tuple(inputs.get("fractions") or [share / 100 for share in inputs["percent"]])
    found = pass_torques(Decimal(str(final)), shares)
    if DEFAULT_SHARES.get(len(shares)) == shares:
        unit = {"final_Nm": "N·m", "final_lbf_ft": "lb·ft"}[name]
        group = Fastener(torque=f"{final} {unit}", passes=len(shares))
        assert [
            stage.printed.torque and stage.printed.torque.band.target for stage in stages_of(group)
        ] == list(found)
    return [float(torque) for torque in found]


def turn_as_printed(inputs: dict[str, Any]) -> float:
    """The whole turn of a group's stages, [°]."""
    turns = [f"+{angle}°" for angle in inputs["stages_deg"]]
    stages = stages_of(Fastener(torque="; ".join(["40 N·m", *turns])))
    assert len(stages) == 1 + len(turns)
    return sum(float(stage.printed.degrees.target) for stage in stages if stage.printed.degrees)


def rounds_as_printed(inputs: dict[str, Any]) -> str:
    return fits_rounds([inputs[name] for name in sorted(inputs) if "circular" not in inputs[name]])


FORMS: dict[frozenset[str], Callable[[dict[str, Any]], Any]] = {
    frozenset({"bolts", "numbering"}): star_as_printed,
    frozenset({"bolts", "test"}): balance_as_printed,
    frozenset({"bolts"}): lambda inputs: len(set(star_order(inputs["bolts"]))),
    frozenset({"final", "fractions"}): passes_as_printed,
    frozenset({"final", "percent"}): passes_as_printed,
    frozenset({"round"}): rounds_as_printed,
    frozenset({"stages_deg"}): turn_as_printed,
    frozenset({"rows", "cols"}): lambda inputs: columns_from_centre(inputs["rows"], inputs["cols"]),
    frozenset({"line"}): lambda inputs: list(line_order(inputs["line"])),
    frozenset({"loosen"}): lambda inputs: list(loosening_order(tuple(inputs["loosen"]))),
}


def form_of(inputs: dict[str, Any]) -> frozenset[str]:
    """The names of the inputs, without the unit of the final torque and the number of a round."""
    return frozenset(re.sub(r"\Afinal_.*|\A(round)\d+\Z", lambda m: m[1] or "final", key) for key in inputs)


def test_a_published_order_or_pass_is_met(case: Case) -> None:
    found = FORMS[form_of(case["inputs"])](case["inputs"])
    expected = case["expected"]
    assert found == (expected if isinstance(expected, str) else pytest.approx(expected)), case.get("source")


@given(st.integers(1, 60))
@settings(max_examples=60)
def test_a_star_names_every_bolt_once(bolts: int) -> None:
    assert sorted(star_order(bolts)) == list(range(1, bolts + 1))


@pytest.mark.parametrize("bolts", range(4, 41, 2))
def test_an_even_star_balances_after_every_pair(bolts: int) -> None:
    assert imbalance(bolts, 2) == pytest.approx(0, abs=1e-9)


def test_five_wheel_nuts_are_tightened_as_a_five_pointed_star() -> None:
    assert star_order(5) == (1, 3, 5, 2, 4)


def test_a_star_never_goes_to_the_neighbour_while_a_farther_one_is_free() -> None:
    for bolts in range(5, 25):
        first, second = star_order(bolts)[:2]
        assert min(abs(first - second), bolts - abs(first - second)) >= (bolts - 1) // 2


def test_a_line_goes_from_the_middle_outward() -> None:
    assert line_order(5) == (3, 4, 2, 5, 1)


@given(st.integers(1, 4), st.integers(1, 9))
@settings(max_examples=40)
def test_a_rectangle_goes_outward_and_names_every_bolt_once(rows: int, columns: int) -> None:
    assert sorted(rectangle_order(rows, columns)) == list(range(1, rows * columns + 1))
    assert columns_from_centre(rows, columns) == sorted(columns_from_centre(rows, columns))
    assert len(grid_points(rows, columns)) == rows * columns


def test_two_rows_cross_over_after_the_middle() -> None:
    assert rectangle_order(2, 3) == (5, 2, 6, 1, 3, 4)


def test_loosening_is_the_reverse() -> None:
    assert loosening_order(star_order(4)) == (4, 2, 3, 1)


@pytest.mark.parametrize("bolts", [0, -1])
def test_a_pattern_without_bolts_is_a_wrong_call(bolts: int) -> None:
    with pytest.raises(ValueError, match=str(bolts)):
        star_order(bolts)
    with pytest.raises(ValueError, match=str(bolts)):
        rectangle_order(2, bolts)


def test_the_users_own_order_is_taken_as_typed() -> None:
    assert own_order("3, 1 4-2", 4) == (3, 1, 4, 2)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1 2 3", "Missing: 4"),
        ("1 2 2 4", "2 is named twice"),
        ("1 2 3 9", "“9”"),
        ("1 2 x 4", "“x”"),
        ("1 0", "“0”"),
    ],
)
def test_an_order_of_ones_own_that_is_not_whole_says_what_is_wrong(text: str, says: str) -> None:
    problem = own_order(text, 4)
    assert isinstance(problem, Problem)
    assert problem.where == "order"
    assert says in problem.message


@pytest.mark.parametrize("shares", DEFAULT_SHARES.values())
def test_the_default_passes_rise_to_the_whole_torque_as_it_is_printed(shares: tuple[float, ...]) -> None:
    torques = pass_torques(Decimal("90.0"), shares)
    assert list(torques) == sorted(torques)
    assert str(torques[-1]) == "90.0"


def test_a_pass_is_rounded_to_three_digits_and_never_to_two() -> None:
    assert list(map(str, pass_torques(Decimal("29.55"), (0.25, 0.5, 1)))) == ["7.39", "14.8", "29.55"]
    assert list(map(str, pass_torques(Decimal(1200), (0.25, 0.3)))) == ["300", "360"]
