import pytest

from app.core.problem import Problem
from app.core.tightening.fastener_text import FastenerText, parse_fastener


def test_a_line_without_size_length_or_drive_is_refused() -> None:
    problem = parse_fastener("Bracket, left")
    assert isinstance(problem, Problem)
    assert problem.where == "fastener"


@pytest.mark.parametrize(
    ("text", "kind", "grade", "count"),
    [
        ("Screw, hex washer head, M6-1.0 x 20, 8.8", "screw", "8.8", None),
        ("4 bolts M10x60 A2-70", "bolt", "A2-70", 4),
        ("Lockwasher, No. 10 (8 rqr)", "lockwasher", None, 8),
    ],
)
def test_a_line_says_what_how_strong_and_how_many(
    text: str, kind: str, grade: str | None, count: int | None
) -> None:
    line = parse_fastener(text)
    assert isinstance(line, FastenerText), line
    assert (line.kind, line.grade, line.count) == (kind, grade, count)
