import os
import re
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests import patience

TESTS = Path(__file__).parent


def busy(monkeypatch: pytest.MonkeyPatch, *, load: float, cores: int = 2, slowness: float = 1.0) -> None:
    monkeypatch.setattr(os, "getloadavg", lambda: (load, 0.0, 0.0), raising=False)
    monkeypatch.setattr(os, "cpu_count", lambda: cores)
    monkeypatch.setattr(patience, "_slowness", lambda: slowness)


def test_on_a_quiet_machine_a_wait_is_as_long_as_it_says(monkeypatch: pytest.MonkeyPatch) -> None:
    busy(monkeypatch, load=0.3)

    assert (patience.seconds(5), patience.milliseconds(5)) == (5, 5000)


def test_sixteen_processes_on_two_cores_make_a_wait_eight_times_as_long(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    busy(monkeypatch, load=16)

    assert patience.seconds(5) == 40


def test_a_slow_machine_waits_longer_without_any_load(monkeypatch: pytest.MonkeyPatch) -> None:
    busy(monkeypatch, load=0, slowness=3)

    assert patience.seconds(5) == 15


def test_no_wait_is_without_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    busy(monkeypatch, load=10_000)

    assert patience.seconds(1) == patience.MOST


def test_where_the_system_tells_no_load_the_measured_slowness_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    busy(monkeypatch, load=16, slowness=2)
    monkeypatch.delattr(os, "getloadavg")

    assert patience.seconds(1) == 2


def test_the_profile_is_in_force() -> None:
    assert settings.default is not None
    assert settings.default.deadline is None
    assert settings.default.print_blob
    assert HealthCheck.too_slow in settings.default.suppress_health_check


@given(st.just(0))
@settings(max_examples=1)
def test_a_slow_example_is_no_failure(nothing: int) -> None:
    time.sleep(0.25)  # more than Hypothesis allows by itself

    assert nothing == 0


def test_no_test_sets_a_deadline_or_a_wait_of_its_own() -> None:
    own = re.compile(r"deadline=|\btimeout=\d|set_default_timeout\((?!milliseconds)")
    found = [
        f"{path.relative_to(TESTS)}: {line.strip()}"
        for path in sorted(TESTS.rglob("*.py"))
        if path.name not in {"conftest.py", Path(__file__).name}
        for line in path.read_text(encoding="utf-8").splitlines()
        if own.search(line) and "timeout=0" not in line
    ]

    assert found == []
