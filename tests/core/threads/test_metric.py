import pytest

from app.core.problem import Problem
from app.core.threads.metric import find_metric
from app.core.threads.sizes import METRIC_COARSE, Thread


@pytest.mark.parametrize(
    ("text", "size", "pitch", "length"),
    [
        ("M8", 8, None, None),
        ("M8x44", 8, None, 44),
        ("M10 x 1 x 45", 10, 1, 45),
        ("M12-1.75 x 50", 12, 1.75, 50),
        ("M10 P1.25", 10, 1.25, None),
        ("m6 × 1,0", 6, 1, None),
        ("M3 x 3", 3, None, 3),
        ("bolt M8 x 25 10.9", 8, None, 25),
    ],
)
def test_of_the_numbers_behind_the_size_the_pitch_is_told_from_the_length(
    text: str, size: float, pitch: float | None, length: float | None
) -> None:
    found = find_metric(text)

    assert isinstance(found, Thread), found
    assert (found.diameter_mm, found.pitch_mm, found.length_mm) == (size, pitch, length)


@pytest.mark.parametrize("size", METRIC_COARSE)
def test_the_coarse_pitch_of_every_size_is_read_as_its_pitch(size: float) -> None:
    found = find_metric(f"M{size:g} x {METRIC_COARSE[size]:g} x 60")

    assert isinstance(found, Thread), found
    assert (found.pitch_mm, found.length_mm) == (METRIC_COARSE[size], 60)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("M0.5", "thread-size-impossible"),
        ("M140", "thread-size-impossible"),
        ("M8 x 2", "thread-pitch-impossible"),
        ("M8 x 1.3 x 20", "thread-pitch-impossible"),
    ],
)
def test_a_metric_thread_that_cannot_be_is_refused_by_name(text: str, code: str) -> None:
    found = find_metric(text)

    assert isinstance(found, Problem), found
    assert found.code == code


@pytest.mark.parametrize("text", ["", "8 mm", "3/8-16", "AM8", "M8/10"])
def test_what_names_no_metric_size_has_none(text: str) -> None:
    assert find_metric(text) is None
