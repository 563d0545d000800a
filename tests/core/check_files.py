"""Check values from outside: JSON lists by topic, one test a case; quantities with their unit in the key."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

Case = dict[str, Any]

POUND_N, KILOGRAM_N, INCH_MM = 4.4482216152605, 9.80665, 25.4
UNITS: dict[str, float] = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": INCH_MM,
    "ft": 12 * INCH_MM,
    "n": 1.0,
    "kn": 1000.0,
    "lbf": POUND_N,
    "lb": POUND_N,
    "kgf": KILOGRAM_N,
    "kip": 1000 * POUND_N,
    "nm": 1000.0,
    "n_m": 1000.0,
    "knm": 1e6,
    "ncm": 10.0,
    "cnm": 10.0,
    "danm": 10000.0,
    "nmm": 1.0,
    "kgf_m": 1000 * KILOGRAM_N,
    "kgf_cm": 10 * KILOGRAM_N,
    "kgm": 1000 * KILOGRAM_N,
    "mm2": 1.0,
    "cm2": 100.0,
    "in2": INCH_MM**2,
    "mpa": 1.0,
    "gpa": 1000.0,
    "n_mm2": 1.0,
    "deg": 1.0,
    "percent": 0.01,
    "pct": 0.01,
    "-": 1.0,
    **dict.fromkeys(("psi", "lbf_in2"), POUND_N / INCH_MM**2),
    **dict.fromkeys(("ksi", "kpsi"), 1000 * POUND_N / INCH_MM**2),
    **dict.fromkeys(("lbf_in", "lb_in", "in_lbf", "in_lb", "inlb", "lbin"), POUND_N * INCH_MM),
    **dict.fromkeys(("lbf_ft", "lb_ft", "ft_lbf", "ft_lb", "ftlb", "lbft"), 12 * POUND_N * INCH_MM),
    **dict.fromkeys(("ozf_in", "oz_in", "in_oz"), POUND_N / 16 * INCH_MM),
}
"""Unit to [mm], [N], [N·mm], [MPa], [°] and [-]."""


def cases_of(metafunc: pytest.Metafunc, topic: str) -> None:
    """Give the test one case after another from `TOPIC.json` and `TOPIC_*.json` in the `--checks` folder."""
    folder: Path = metafunc.config.getoption("--checks") or Path(__file__).parents[1] / "checks"
    files = [folder / f"{topic}.json", *sorted(folder.glob(f"{topic}_*.json"))]
    cases: list[Case] = [case for file in files for case in json.loads(file.read_text(encoding="utf-8"))]
    names = [
        str(case.get("id") or f"{number}: {case.get('text', topic)}") for number, case in enumerate(cases)
    ]
    metafunc.parametrize("case", cases, ids=names)


def unit_factor(unit: str) -> float:
    """Return what one of a unit is in the base units above; an unknown unit fails."""
    return UNITS[re.sub(r"[.·*/\s]", "_", unit.strip().lower())]


def quantity(key: str, value: object) -> tuple[str, float]:
    """Return the name of an input and its value in the base units: `d_in`, 0.5 gives `d`, 12.7."""
    name, _, unit = key.partition("_")
    while unit and unit.lower() not in UNITS and "_" in unit:
        more, _, unit = unit.partition("_")
        name = f"{name}_{more}"
    factor = UNITS.get(unit.lower()) if unit else None
    return (key, float(str(value))) if factor is None else (name, float(str(value)) * factor)


def assert_close(case: Case, got: float) -> None:
    """Fail with the case's source where the value is not within its tolerance."""
    expected, tolerance = float(case["expected"]), float(case["tolerance"])
    slack = 1e-12 * max(1.0, abs(expected))
    assert abs(got - expected) <= tolerance + slack, f"{got} not {expected} ({case.get('source')})"
