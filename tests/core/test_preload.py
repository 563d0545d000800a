from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.preload import (
    NUT_FACTORS,
    Friction,
    clamp_n,
    minor_diameter_of,
    nut_factor_of,
    stress,
    torque_for_clamp,
    torque_from_friction,
)
from app.core.problem import Problem
from app.core.strength import load
from tests.core.check_files import Case, assert_close, cases_of

POUND_N, INCH_MM = 4.4482216152605, 25.4
POUND_INCH_NMM = POUND_N * INCH_MM
SI: dict[str, tuple[str, float]] = {
    "K": ("K", 1.0),
    "fraction": ("share", 1.0),
    "d_mm": ("d", 1.0),
    "d_in": ("d", INCH_MM),
    "D_in": ("d", INCH_MM),
    "F_N": ("F", 1.0),
    "F_kN": ("F", 1000.0),
    "F_lbf": ("F", POUND_N),
    "P_lbf": ("F", POUND_N),
    "proof_kN": ("proof", 1000.0),
    "T_Nm": ("T", 1000.0),
    "T_lbf_in": ("T", POUND_INCH_NMM),
    "T_lbf_ft": ("T", 12 * POUND_INCH_NMM),
    "As": ("A", 1.0),
    "As_mm2": ("A", 1.0),
    "At_in2": ("A", INCH_MM**2),
    "Sp": ("stress", 1.0),
    "Sp_MPa": ("stress", 1.0),
    "stress_psi": ("stress", POUND_N / INCH_MM**2),
    "f": ("f", 1.0),
    "fc": ("fc", 1.0),
    "tpi": ("tpi", 1.0),
    "minor_area_in2": ("minor", INCH_MM**2),
    "collar_factor": ("collar", 1.0),
}
"""Input key to what it is, and to [N], [mm], [N·mm], [MPa]."""
ANSWER_UNITS = {
    "-": 1.0,
    "F/proof": 1.0,
    "kN": 1000.0,
    "N": 1.0,
    "lbf": POUND_N,
    "N.m": 1000.0,
    "lbf.in": POUND_INCH_NMM,
    "lbf.ft": 12 * POUND_INCH_NMM,
    "kpsi": 1000 * POUND_N / INCH_MM**2,
}


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases_of(metafunc, "torque_preload")


def number(found: float | Problem) -> float:
    assert isinstance(found, float), found
    return found


def long_form(v: dict[str, float]) -> float | Problem:
    minor = minor_diameter_of(v["minor"])
    return torque_from_friction(v["F"], v["d"], INCH_MM / v["tpi"], minor, v["f"], v["fc"], v["collar"])


FORMS: dict[frozenset[str], Callable[[dict[str, float]], float | Problem]] = {
    frozenset("FA"): lambda v: stress(v["F"], v["A"]),
    frozenset("KFd"): lambda v: torque_for_clamp(v["K"], v["F"], v["d"]),
    frozenset("TFd"): lambda v: nut_factor_of(v["T"], v["F"], v["d"]),
    frozenset({"T", "K", "d"}): lambda v: clamp_n(v["T"] / 1000, v["K"], v["d"]),
    frozenset({"A", "stress"}): lambda v: load(v["A"], v["stress"]),
    frozenset({"A", "stress", "share"}): lambda v: load(v["A"], v["stress"], v["share"]),
    frozenset({"T", "d", "A", "stress"}): lambda v: nut_factor_of(v["T"], load(v["A"], v["stress"]), v["d"]),
    frozenset({"T", "K", "d", "proof"}): lambda v: (
        number(clamp_n(v["T"] / 1000, v["K"], v["d"])) / v["proof"]
    ),
    frozenset({"f", "fc", "F", "d", "tpi", "minor", "collar"}): long_form,
}


def test_a_published_torque_or_clamp_force_is_met(case: Case) -> None:
    inputs: dict[str, Any] = case["inputs"]
    values = {SI[key][0]: float(value) * SI[key][1] for key, value in inputs.items()}
    assert_close(case, number(FORMS[frozenset(values)](values)) / ANSWER_UNITS[case["unit"]])


@pytest.mark.parametrize("friction", Friction)
def test_every_friction_is_a_band_with_its_source(friction: Friction) -> None:
    band = NUT_FACTORS[friction]
    assert 0.08 <= band.low < band.high <= 0.5
    assert band.source


def test_an_oiled_thread_reaches_more_clamp_than_a_dry_one() -> None:
    dry, oiled = NUT_FACTORS[Friction.DRY], NUT_FACTORS[Friction.OILED]
    assert number(clamp_n(25, oiled.low, 8)) > number(clamp_n(25, dry.low, 8))


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
@pytest.mark.parametrize("field", ["torque", "nut_factor", "diameter"])
def test_what_is_not_above_zero_is_refused_by_its_field(field: str, bad: float) -> None:
    values = {"torque": 25.0, "nut_factor": 0.2, "diameter": 8.0} | {field: bad}
    problem = clamp_n(values["torque"], values["nut_factor"], values["diameter"])
    assert isinstance(problem, Problem)
    assert problem.where == field


def test_a_thread_that_no_torque_can_turn_is_refused() -> None:
    problem = torque_from_friction(1000, 8, 1.25, 6.6, 20, 0.15)
    assert isinstance(problem, Problem)
    assert problem.where == "thread_friction"


@given(st.floats(0.05, 0.5), st.floats(10, 1e6), st.floats(2, 60))
@settings(max_examples=60, deadline=None)
def test_clamp_and_torque_are_inverse(factor: float, force: float, diameter: float) -> None:
    torque = number(torque_for_clamp(factor, force, diameter))
    assert number(clamp_n(torque / 1000, factor, diameter)) == pytest.approx(force)
