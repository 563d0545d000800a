import re

import pytest

from app.core.problem import Problem
from app.core.threads.strength import (
    MPA_PER_PSI,
    FastenerKind,
    Strength,
    class_named,
    load,
    proof_load_n,
    strength_of,
)
from app.core.threads.text import (
    Thread,
    ThreadSystem,
    parse_thread,
    stress_area_mm2,
)
from tests.core.check_files import INCH_MM, Case, assert_close, cases_of, quantity, unit_factor


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


def size_of(case: Case, values: dict[str, float]) -> Thread:
    """The thread that a case names: in its inputs, behind the grade in its id, else by diameter and pitch."""
    named = case["inputs"].get("thread") or re.search(r"-G[\d.]+-(?P<size>[#\d].*)", case.get("id", ""))
    if named:
        return thread(named if isinstance(named, str) else named["size"])
    if "tpi" in values:
        return thread(f"{values['d'] / INCH_MM:g}-{values['tpi']:g}")
    pitch = f"x{values['pitch']:g}" if "pitch" in values else ""
    return thread(f"M{values['d']:g}{pitch}")


def stress_of(case: Case, values: dict[str, float]) -> float:
    """The product's own figure where the case names a class, which must be the printed one, [MPa]."""
    printed = next(((name, values[name]) for name in ("Sp", "Rm") if name in values), None)
    name = next((case["inputs"][key] for key in ("cls", "grade", "class") if key in case["inputs"]), None)
    if name is None:
        assert printed, "neither a class nor a stress"
        return printed[1]
    ours = strength(strength_of(str(name), size_of(case, values)))
    tensile = printed[0] == "Rm" if printed else bool(re.search("tensile|ultimate|Rm", case.get("id", "")))
    found = ours.tensile_mpa if tensile else ours.proof_mpa
    assert printed is None or found == pytest.approx(printed[1], rel=1e-12)
    return found


def area_of(case: Case, values: dict[str, float]) -> float:
    found = next((values[name] for name in ("As", "At") if name in values), None)
    area = stress_area_mm2(size_of(case, values)) if found is None else found
    assert isinstance(area, float), area
    return area


TEXTS = {"cls", "grade", "class", "thread"}


def test_a_printed_load_is_met(case: Case) -> None:
    inputs = case["inputs"]
    if {"table_clamp_lbf", "fraction"} == inputs.keys():
        assert_close(case, inputs["table_clamp_lbf"] / load(1.0, 1.0, inputs["fraction"]))
        return
    values = dict(quantity(key, value) for key, value in inputs.items() if key not in TEXTS)
    assert values.keys() <= {"d", "pitch", "tpi", "As", "At", "Sp", "Rm", "fraction"}, values
    stress, share = stress_of(case, values), values.get("fraction", 1.0)
    is_stress = case["unit"] in {"MPa", "psi", "ksi", "kpsi", "N/mm2"}
    found = stress * share if is_stress else load(area_of(case, values), stress, share)
    assert_close(case, found / unit_factor(case["unit"]))


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
        ("Grade 8.8", "8.8"),
        ("10,9", "10.9"),
        ("a2 - 70", "A2-70"),
        ("ASTM A193 B7", "B7"),
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


METRIC, UNIFIED = ThreadSystem.METRIC, ThreadSystem.UNIFIED


@pytest.mark.parametrize(
    ("text", "system", "kind", "name"),
    [
        ("8", UNIFIED, FastenerKind.BOLT, "SAE grade 8"),
        ("8", METRIC, FastenerKind.NUT, "8.8"),
        ("class 10", METRIC, FastenerKind.NUT, "10.9"),
        ("8", UNIFIED, FastenerKind.NUT, "SAE grade 8"),
        ("8.8", METRIC, FastenerKind.STUD, "8.8"),
        ("A2-70", METRIC, FastenerKind.BOLT, "A2-70"),
        ("A4-80", UNIFIED, FastenerKind.BOLT, "A4-80"),
        ("B7", UNIFIED, FastenerKind.STUD, "B7"),
        ("SAE 4", UNIFIED, FastenerKind.STUD, "SAE grade 4"),
    ],
)
def test_a_grade_is_told_by_the_thread_and_the_kind(
    text: str, system: ThreadSystem, kind: FastenerKind, name: str
) -> None:
    assert class_named(text, system, kind) == name


@pytest.mark.parametrize(
    ("text", "system", "kind", "code"),
    [
        ("8", METRIC, FastenerKind.BOLT, "class-other-system"),
        ("grade 5", METRIC, FastenerKind.BOLT, "class-other-system"),
        ("8.8", UNIFIED, FastenerKind.BOLT, "class-other-system"),
        ("A2", METRIC, FastenerKind.BOLT, "class-incomplete"),
        ("A2", None, FastenerKind.BOLT, "class-incomplete"),
        ("A4", UNIFIED, FastenerKind.NUT, "class-incomplete"),
        ("SAE 4", UNIFIED, FastenerKind.NUT, "class-other-system"),
    ],
)
def test_a_number_of_another_system_is_no_grade(
    text: str, system: ThreadSystem | None, kind: FastenerKind, code: str
) -> None:
    problem = class_named(text, system, kind)
    assert isinstance(problem, Problem), problem
    assert problem.code == code
