import pytest

from app.core.lists.thread_cells import joined_thread, parted_thread


@pytest.mark.parametrize(
    ("thread", "length", "joined"),
    [
        ("M8x1.25", 30.0, "M8x1.25x30"),
        ("M8", 30.0, "M8x30"),
        ("3/8-16", 31.75, "3/8-16 x 31.75 mm"),
        ("M8x1.25x30", 30.0, "M8x1.25x30"),
        ("1/8 NPT", 20.0, ""),
    ],
)
def test_a_length_joins_the_thread(thread: str, length: float, joined: str) -> None:
    assert joined_thread(thread, length) == joined


@pytest.mark.parametrize(
    "text", ["M8x1.25x30", "M8 x 1,25 x 30", "3/8-16 x 1-1/4", "M12x1.75x60 LH", "M8", "1/8 NPT", "", "M8x30"]
)
def test_a_thread_parted_from_its_length_joins_to_the_same_text(text: str) -> None:
    thread, length = parted_thread(text)

    assert (joined_thread(thread, float(length)) if length else thread) == text
