import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.problem import Problem
from app.core.threads.preload import (
    NUT_FACTORS,
    Friction,
    clamp_n,
    minor_diameter_of,
    nut_factor_of,
    stress,
    torque_for_clamp,
    torque_from_friction,
)
from app.core.threads.strength import load
from tests.core.check_files import INCH_MM, Case, assert_close, cases_of, quantity, unit_factor

NAMES = {
    "D": "d",
    "P": "F",
    "preload": "F",
    "clamp": "F",
    "As": "A",
    "At": "A",
    "Sp": "stress",
    "fraction": "share",
    "minor_area": "minor",
    "collar_factor": "collar",
    "proof_load": "proof",
}
"""What a printed name stands for; every other name stands for itself."""


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases_of(metafunc, "torque_preload")


def number(found: float | Problem) -> float:
    assert isinstance(found, float), found
    return found


def long_form(v: dict[str, float]) -> float | Problem:
    pitch = v["pitch"] if "pitch" in v else INCH_MM / v["tpi"]
    minor = v["minor_d"] if "minor_d" in v else minor_diameter_of(v["minor"])
    return torque_from_friction(v["F"], v["d"], pitch, minor, v["f"], v["fc"], v.get("collar", 0.625))


def force_of(v: dict[str, float]) -> float:
    """The clamp force that is given, or that a share of a stress or of a proof load makes, [N]."""
    if "F" in v:
        return v["F"]
    share = v.get("share", 1.0)
    return load(v["A"], v["stress"], share) if "A" in v else v["proof"] * share


FORCE = {"F", "A", "stress", "share", "proof"}


def answer(v: dict[str, float], unit: str) -> float | Problem:
    """What a case asks for, by its unit and by what is given; an unknown form fails."""
    if "f" in v:
        assert v.keys() <= {"f", "fc", "F", "d", "tpi", "pitch", "minor", "minor_d", "collar"}
        return long_form(v)
    assert v.keys() <= {"K", "T", "d"} | FORCE, v
    if unit == "F/proof":
        clamp = number(clamp_n(v["T"] / 1000, v["K"], v["d"])) if "T" in v else v["F"]
        return clamp / (v["proof"] if "proof" in v else load(v["A"], v["stress"]))
    if unit == "-":
        return nut_factor_of(v["T"], force_of(v), v["d"])
    if v.keys() == {"F", "A"}:
        return stress(v["F"], v["A"])
    if "T" in v:
        return clamp_n(v["T"] / 1000, v["K"], v["d"])
    return torque_for_clamp(v["K"], force_of(v), v["d"]) if "K" in v else force_of(v)


def test_a_published_torque_or_clamp_force_is_met(case: Case) -> None:
    read = (quantity(key, value) for key, value in case["inputs"].items())
    values = {NAMES.get(name, name): value for name, value in read}
    factor = 1.0 if case["unit"] == "F/proof" else unit_factor(case["unit"])
    assert_close(case, number(answer(values, case["unit"])) / factor)


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
@settings(max_examples=60)
def test_clamp_and_torque_are_inverse(factor: float, force: float, diameter: float) -> None:
    torque = number(torque_for_clamp(factor, force, diameter))
    assert number(clamp_n(torque / 1000, factor, diameter)) == pytest.approx(force)
