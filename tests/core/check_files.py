"""Check values from outside: one JSON list a topic, one test a case."""

import json
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from pathlib import Path

Case = dict[str, Any]


def cases_of(metafunc: pytest.Metafunc, topic: str) -> None:
    """Give the test one case after another from the folder that `--checks` names."""
    folder: Path = metafunc.config.getoption("--checks")
    cases: list[Case] = json.loads((folder / f"{topic}.json").read_text(encoding="utf-8"))
    names = [str(case.get("id") or f"{number}: {case['text']}") for number, case in enumerate(cases)]
    metafunc.parametrize("case", cases, ids=names)


def assert_close(case: Case, got: float) -> None:
    """Fail with the case's source where the value is not within its tolerance."""
    expected, tolerance = float(case["expected"]), float(case["tolerance"])
    slack = 1e-12 * max(1.0, abs(expected))
    assert abs(got - expected) <= tolerance + slack, f"{case['id']}: {got} not {expected} ({case['source']})"
