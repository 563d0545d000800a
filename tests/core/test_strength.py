import re
from typing import Any

import pytest

from app.core.problem import Problem
from app.core.strength import (
    MPA_PER_PSI,
    Strength,
    class_named,
    load,
    proof_from_clamp,
    proof_load_n,
    strength_at,
    strength_of,
)
from app.core.threads import Thread, parse_thread
from tests.core.check_files import Case, assert_close, cases_of


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases_of(metafunc, "bolt_strength")


def thread(text: str) -> Thread:
    found = parse_thread(text)
    assert isinstance(found, Thread), found
    return found


def strength(found: Strength | Problem) -> Strength:
    assert isinstance(found, Strength), found
    return found


def stress_of(case: Case, inputs: dict[str, Any]) -> float:
    """The product's own figure where the case names a class, else the printed one; the unit stays."""
    if "cls" in inputs:
        proof = strength(strength_at(inputs["cls"], inputs["d_mm"])).proof_mpa
        assert proof == inputs["Sp_MPa"]
        return proof
    if "grade" in inputs:
        size = re.search(r"(?<=-G\d-).+", case["id"])
        assert size, case["id"]
        proof = strength(strength_of(inputs["grade"], thread(size.group()))).proof_mpa / MPA_PER_PSI
        assert proof == pytest.approx(inputs["Sp_psi"], rel=1e-12)
        return proof
    (stress,) = (inputs[key] for key in ("Sp_MPa", "Sp_psi", "Rm_MPa") if key in inputs)
    return float(stress)


def test_a_printed_load_is_met(case: Case) -> None:
    inputs = case["inputs"]
    if inputs.keys() == {"table_clamp_lbf", "fraction"}:
        assert_close(case, proof_from_clamp(inputs["table_clamp_lbf"], inputs["fraction"]))
        return
    known = {"cls", "grade", "d_mm", "As_mm2", "At_in2", "Sp_MPa", "Sp_psi", "Rm_MPa", "fraction"}
    assert inputs.keys() <= known, inputs.keys() - known
    (area,) = (inputs[key] for key in ("As_mm2", "At_in2") if key in inputs)
    assert_close(case, load(area, stress_of(case, inputs), inputs.get("fraction", 1.0)))


@pytest.mark.parametrize(
    ("name", "size", "proof_mpa"),
    [
        ("8.8", "M16", 580),
        ("8.8", "M18", 600),
        ("9.8", "M16", 650),
        ("12.9", "M20", 970),
    ],
)
def test_the_size_limit_of_a_class_belongs_to_the_lower_span(name: str, size: str, proof_mpa: float) -> None:
    assert strength(strength_of(name, thread(size))).proof_mpa == proof_mpa


@pytest.mark.parametrize(
    ("name", "size", "ksi"),
    [
        ("grade 2", "3/4-10", 55),
        ("grade 2", "7/8-9", 33),
        ("grade 5", "1-8", 85),
        ("grade 5", "1-1/8-7", 74),
        ("SAE J429 8", "1/4-20", 120),
    ],
)
def test_the_size_limit_of_a_grade_belongs_to_the_lower_span(name: str, size: str, ksi: float) -> None:
    assert strength(strength_of(name, thread(size))).proof_mpa / MPA_PER_PSI == pytest.approx(ksi * 1000)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("8.8", "8.8"),
        ("class 10.9", "10.9"),
        ("grade 5", "SAE grade 5"),
        ("5", "SAE grade 5"),
        ("SAE J429 2 (to 3/4 in)", "SAE grade 2"),
        ("gr. 8", "SAE grade 8"),
        ("8.2", "SAE grade 8.2"),
    ],
)
def test_a_class_is_known_however_it_is_printed(text: str, name: str) -> None:
    assert class_named(text) == name


@pytest.mark.parametrize(
    ("text", "size", "where"),
    [("9.9", "M8", "class"), ("", "M8", "class"), ("9.8", "M18", "class"), ("grade 5", "#10-32", "class")],
)
def test_a_class_that_is_unknown_or_not_made_in_the_size_is_refused(text: str, size: str, where: str) -> None:
    problem = strength_of(text, thread(size))
    assert isinstance(problem, Problem)
    assert problem.where == where


@pytest.mark.parametrize("size", [None, "1/8 NPT"])
def test_a_class_without_a_bolt_size_asks_for_the_thread(size: str | None) -> None:
    problem = proof_load_n("8.8", thread(size) if size else None)
    assert isinstance(problem, Problem)
    assert problem.where == "thread"


def test_the_proof_load_follows_from_thread_and_class() -> None:
    assert proof_load_n("8.8", thread("M8x1.25x30")) == pytest.approx(21200, rel=0.006)
