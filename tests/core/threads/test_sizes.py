import pytest

from app.core.threads.sizes import Thread, metric_stress_area_mm2, unified_stress_area_in2
from app.core.threads.text import parse_thread, stress_area_mm2
from tests.core.check_files import INCH_MM, Case, assert_close, cases_of, quantity, unit_factor


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases_of(metafunc, "thread_stress_area")


def test_a_printed_stress_area_is_met(case: Case) -> None:
    inputs = {key: value for key, value in case["inputs"].items() if key != "formula"}
    if inputs.keys() == {"thread"}:
        thread = parse_thread(inputs["thread"])
        assert isinstance(thread, Thread), thread
        found = stress_area_mm2(thread)
        assert isinstance(found, float), found
        assert_close(case, found / unit_factor(case["unit"]))
        return
    values = dict(quantity(key, value) for key, value in inputs.items())
    if values.keys() == {"d", "tpi"}:
        area = unified_stress_area_in2(values["d"] / INCH_MM, values["tpi"]) * INCH_MM**2
    else:
        assert values.keys() == {"d", "pitch"}
        area = metric_stress_area_mm2(values["d"], values["pitch"])
    assert_close(case, area / unit_factor(case["unit"]))


@pytest.mark.parametrize(("text", "area"), [("M8", 36.6), ("M8x1", 39.2), ("3/8-16", 0.0775 * 645.16)])
def test_the_area_follows_the_text_of_the_thread(text: str, area: float) -> None:
    """Areas: ISO 898-1 and ASME B1.1, M8 from memory, the others as in the check values."""
    thread = parse_thread(text)
    assert isinstance(thread, Thread)
    assert stress_area_mm2(thread) == pytest.approx(area, rel=0.003)
