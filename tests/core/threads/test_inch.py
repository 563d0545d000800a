import pytest

from app.core.problem import Problem
from app.core.threads.inch import find_pipe, find_unified, inches
from app.core.threads.sizes import Thread


def unified(text: str) -> Thread:
    found = find_unified(text)
    assert isinstance(found, Thread), found
    return found


@pytest.mark.parametrize(
    ("text", "size"),
    [("1-1/8", 1.125), ("1 - 1/8", 1.125), ("7/16", 0.4375), (".250", 0.25), ("2", 2), ("7/0", 0)],
)
def test_an_inch_size_is_read(text: str, size: float) -> None:
    assert inches(text) == size


@pytest.mark.parametrize(
    ("text", "label", "tpi", "series", "length_mm"),
    [
        ("3/8-16 x 1-1/4 UNC", "3/8", 16, "UNC", 31.75),
        ("3/8-24", "3/8", 24, "UNF", None),
        ("#10-32", "#10", 32, "UNF", None),
        ("No. 8-32 x 1/2", "#8", 32, "UNC", 12.7),
        ("10-24", "#10", 24, "UNC", None),
        ("1-8", "1", 8, "UNC", None),
        ("3/8 UNC", "3/8", 16, "UNC", None),
        ("1/2-13 x 40 mm", "1/2", 13, "UNC", 40),
        (".250-20", "1/4", 20, "UNC", None),
        ("1/4 NF", "1/4", 28, "UNF", None),
    ],
)
def test_a_unified_thread_is_read_with_its_series_and_length(
    text: str, label: str, tpi: float, series: str, length_mm: float | None
) -> None:
    found = unified(text)

    assert (found.label, found.threads_per_inch, found.series) == (label, tpi, series)
    assert found.length_mm == pytest.approx(length_mm)


def test_one_inch_with_fourteen_threads_may_still_be_called_fine() -> None:
    assert unified("1-14 UNF").threads_per_inch == 14


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("3/8-17", "thread-pitch-impossible"),
        ("1/2-20 UNC", "thread-series-mismatch"),
        ("9/2-13", "thread-size-impossible"),
        ("3/8-16 x 90", "thread-length-unit"),
    ],
)
def test_an_inch_thread_that_cannot_be_is_refused_by_name(text: str, code: str) -> None:
    found = find_unified(text)

    assert isinstance(found, Problem), found
    assert found.code == code


@pytest.mark.parametrize("text", ["", "bolt", "3/8", "M8 x 1.25", "3/8 in. long"])
def test_what_says_no_pitch_and_no_series_is_no_unified_thread(text: str) -> None:
    assert find_unified(text) is None


@pytest.mark.parametrize(
    ("text", "label", "series"),
    [
        ("1/8 in. NPT", "1/8", "NPT"),
        ("G 1/4", "1/4", "G"),
        ("Rc1/8", "1/8", "Rc"),
        ("1-1/4 BSPT", "1-1/4", "BSPT"),
    ],
)
def test_a_pipe_thread_is_a_name_and_no_diameter(text: str, label: str, series: str) -> None:
    found = find_pipe(text)

    assert found is not None
    assert (found.label, found.series, found.diameter_mm) == (label, series, 0)


def test_a_unified_thread_is_no_pipe() -> None:
    assert find_pipe("3/8-16 UNC") is None
