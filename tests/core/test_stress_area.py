import pytest

from app.core.thread_sizes import Thread, metric_stress_area_mm2, unified_stress_area_in2
from app.core.threads import parse_thread, stress_area_mm2
from tests.core.check_files import Case, assert_close, cases_of


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases_of(metafunc, "thread_stress_area")


def test_a_printed_stress_area_is_met(case: Case) -> None:
    inputs = {key: value for key, value in case["inputs"].items() if key != "formula"}
    if inputs.keys() == {"d_mm", "pitch_mm"}:
        assert case["unit"] == "mm2"
        assert_close(case, metric_stress_area_mm2(inputs["d_mm"], inputs["pitch_mm"]))
    else:
        assert inputs.keys() == {"d_in", "tpi"}
        assert case["unit"] == "in2"
        assert_close(case, unified_stress_area_in2(inputs["d_in"], inputs["tpi"]))


@pytest.mark.parametrize(("text", "area"), [("M8", 36.6), ("M8x1", 39.2), ("3/8-16", 0.0775 * 645.16)])
def test_the_area_follows_the_text_of_the_thread(text: str, area: float) -> None:
    """Areas: ISO 898-1 and ASME B1.1, M8 from memory, the others as in the check values."""
    thread = parse_thread(text)
    assert isinstance(thread, Thread)
    assert stress_area_mm2(thread) == pytest.approx(area, rel=0.003)
