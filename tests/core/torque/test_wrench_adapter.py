import re

import pytest

from app.core.problem import Problem
from app.core.torque.wrenches import adapter_setting
from tests.core.check_files import Case, assert_close, cases_of, quantity, unit_factor


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases_of(metafunc, "wrench_extension")


def test_a_published_setting_with_an_adapter_is_met(case: Case) -> None:
    read = (quantity(key, value) for key, value in case["inputs"].items() if key != "formula")
    values = {name.removesuffix("_length"): value for name, value in read}
    assert {"L", "E"} <= values.keys() <= {"wanted", "set", "L", "E", "angle"}, values
    lever, length, angle = values["L"], values["E"], values.get("angle", 0.0)
    factor = adapter_setting(1.0, lever, length, angle)
    assert isinstance(factor, float), factor
    torque = (
        values["set"] / factor if "set" in values else adapter_setting(values["wanted"], lever, length, angle)
    )
    assert isinstance(torque, float), torque
    unit = next((key.partition("_")[2] for key in case["inputs"] if re.match("(wanted|set)_", key)), "")
    assert_close(case, torque / unit_factor(case["unit"]) if unit else torque)


def test_an_adapter_turned_round_is_the_same_as_a_negative_length() -> None:
    assert adapter_setting(135, 10, 1.5, 180) == pytest.approx(adapter_setting(135, 10, -1.5))


@pytest.mark.parametrize(
    ("wanted", "lever", "length", "angle", "where"),
    [
        (0, 400, 75, 0, "wanted"),
        (-5, 400, 75, 0, "wanted"),
        (float("nan"), 400, 75, 0, "wanted"),
        (50, 0, 75, 0, "lever"),
        (50, 400, float("inf"), 0, "adapter"),
        (50, 400, -400, 0, "adapter"),
        (50, 400, 401, 180, "adapter"),
        (50, 400, 75, float("nan"), "angle"),
    ],
)
def test_an_adapter_that_gives_no_setting_names_the_field(
    wanted: float, lever: float, length: float, angle: float, where: str
) -> None:
    problem = adapter_setting(wanted, lever, length, angle)
    assert isinstance(problem, Problem), problem
    assert problem.where == where
