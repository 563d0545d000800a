from math import pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.threads.preload import (
    NUT_FACTORS,
    Friction,
    clamp_n,
    torque_for_clamp_nm,
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


def long_form(v: dict[str, float]) -> float:
    """K from the friction of thread and collar, [-]: Shigley, 9th edition, equation 8-26, thread angle 60°.

    Nobody at home knows coefficients of friction, so the product has bands of K only; what an example gives
    for them is worked out here, and the torque for that K by the product.
    """
    pitch = v["pitch"] if "pitch" in v else INCH_MM / v["tpi"]
    minor = v["minor_d"] if "minor_d" in v else sqrt(4 * v["minor"] / pi)
    mean = (v["d"] + minor) / 2
    rise, drag = pitch / (pi * mean), v["f"] * 2 / sqrt(3)
    return mean / 2 * (rise + drag) / (1 - rise * drag) / v["d"] + v["fc"] * v.get("collar", 0.625)


def force_of(v: dict[str, float]) -> float:
    """The clamp force that is given, or that a share of a stress or of a proof load makes, [N]."""
    if "F" in v:
        return v["F"]
    share = v.get("share", 1.0)
    return load(v["A"], v["stress"], share) if "A" in v else v["proof"] * share


FORCE = {"F", "A", "stress", "share", "proof"}


def answer(v: dict[str, float], unit: str) -> float:
    """What a case asks for, by its unit and by what is given; an unknown form fails."""
    if "f" in v:
        assert v.keys() <= {"f", "fc", "F", "d", "tpi", "pitch", "minor", "minor_d", "collar"}
        return 1000 * torque_for_clamp_nm(v["F"], long_form(v), v["d"])
    assert v.keys() <= {"K", "T", "d"} | FORCE, v
    if unit == "F/proof":
        clamp = clamp_n(v["T"] / 1000, v["K"], v["d"]) if "T" in v else v["F"]
        return clamp / (v["proof"] if "proof" in v else load(v["A"], v["stress"]))
    if unit == "-":
        return clamp_n(v["T"] / 1000, 1.0, v["d"]) / force_of(v)
    if v.keys() == {"F", "A"}:
        return v["F"] / load(v["A"], 1.0)
    if "T" in v:
        return clamp_n(v["T"] / 1000, v["K"], v["d"])
    return 1000 * torque_for_clamp_nm(force_of(v), v["K"], v["d"]) if "K" in v else force_of(v)


def test_a_published_torque_or_clamp_force_is_met(case: Case) -> None:
    read = (quantity(key, value) for key, value in case["inputs"].items())
    values = {NAMES.get(name, name): value for name, value in read}
    factor = 1.0 if case["unit"] == "F/proof" else unit_factor(case["unit"])
    assert_close(case, answer(values, case["unit"]) / factor)


@pytest.mark.parametrize("friction", Friction)
def test_every_friction_is_a_band_with_its_source(friction: Friction) -> None:
    band = NUT_FACTORS[friction]
    assert 0.08 <= band.low < band.high <= 0.5
    assert band.source


def test_an_oiled_thread_reaches_more_clamp_than_a_dry_one() -> None:
    dry, oiled = NUT_FACTORS[Friction.DRY], NUT_FACTORS[Friction.OILED]
    assert clamp_n(25, oiled.low, 8) > clamp_n(25, dry.low, 8)


@pytest.mark.parametrize("friction", [0.12, 0.15, 0.20])
def test_the_usual_coefficients_of_steel_give_a_factor_inside_the_widest_band(friction: float) -> None:
    """The coefficients are common practice, from memory; the thread is M8 with its minor diameter."""
    factor = long_form({"d": 8.0, "pitch": 1.25, "minor_d": 6.647, "f": friction, "fc": friction})

    assert NUT_FACTORS[Friction.UNKNOWN].low < factor < NUT_FACTORS[Friction.UNKNOWN].high


@given(st.floats(0.05, 0.5), st.floats(10, 1e6), st.floats(2, 60))
@settings(max_examples=60)
def test_clamp_and_torque_are_inverse(factor: float, force: float, diameter: float) -> None:
    torque = torque_for_clamp_nm(force, factor, diameter)
    assert clamp_n(torque, factor, diameter) == pytest.approx(force)
