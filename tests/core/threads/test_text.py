from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.problem import Problem
from app.core.threads.sizes import METRIC_COARSE, MM_PER_INCH, UNIFIED_SERIES
from app.core.threads.text import (
    Thread,
    ThreadSystem,
    parse_thread,
    stress_area_mm2,
    thread_designation,
)
from app.core.tightening.fastener_text import FastenerText, parse_fastener
from tests.core.check_files import Case, cases_of

KNOWN = {
    *("system", "diameter_mm", "diameter_in", "diameter_label", "pitch_mm", "threads_per_inch", "series"),
    *("length_mm", "length_in", "count", "kind", "grade", "nominal", "limit", "drive"),
}


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        cases_of(metafunc, "thread_texts")


def said(line: FastenerText) -> dict[str, Any]:
    """Say a line in the form of the check values."""
    thread = line.thread
    if thread is None:
        size = line.size_mm
        system = (
            "for a bolt size"
            if size
            else "pipe"
            if line.pipe_size
            else "length only"
            if line.length_mm
            else "drive"
        )
        return {"system": system, "diameter_mm": size, "nominal": line.pipe_size, "length_mm": line.length_mm}
    if thread.system is ThreadSystem.PIPE:
        return {"system": "pipe", "nominal": thread.label, "series": thread.series}
    return {
        "system": thread.system.value,
        "diameter_mm": thread.diameter_mm,
        "diameter_label": thread.label,
        "pitch_mm": thread.pitch_mm,
        "threads_per_inch": thread.threads_per_inch,
        "series": thread.series,
        "length_mm": thread.length_mm,
    }


def same(expected: Any, got: Any, slack: float) -> bool:
    if isinstance(expected, int | float) and isinstance(got, int | float):
        return abs(expected - got) <= slack
    return bool(expected == got)


SLACK = {"diameter_mm": 0.0051, "pitch_mm": 0.00051, "length_mm": 0.051}


def test_a_printed_thread_is_read_as_meant(case: Case) -> None:
    expected = dict(case["expected"])
    assert expected.keys() <= KNOWN, expected.keys() - KNOWN
    line = parse_fastener(case["text"])
    assert isinstance(line, FastenerText), line
    got = said(line) | {"limit": line.limit, "drive": line.drive, "grade": line.grade, "count": line.count}
    for inches in ("diameter_in", "length_in"):
        if inches in expected:
            assert got[inches.replace("_in", "_mm")] / MM_PER_INCH == pytest.approx(
                expected.pop(inches), abs=1e-6
            )
    kind = expected.pop("kind", None)
    for key in got.keys() - {"diameter_label"} | expected.keys():
        assert same(expected.get(key), got.get(key), SLACK.get(key, 0)), (
            key,
            expected.get(key),
            got.get(key),
        )
    assert kind is None or line.kind == kind or _only_in_context(kind, line.kind, case["text"])


def _only_in_context(kind: str, read: str | None, text: str) -> bool:
    """The kind was known from the lines around: its words are not in the text."""
    return read is None and not any(word in text.lower() for word in kind.split())


@pytest.mark.parametrize(
    ("text", "designation"),
    [
        ("M8x1.25x30", "M8x1.25x30"),
        ("M8", "M8"),
        ("M8 x 30 x 1.25", "M8x1.25x30"),
        ("M12-1.75 x 50", "M12x1.75x50"),
        ("M10x1,25", "M10x1.25"),
        ("M12x1.5-6H x 40", "M12x1.5x40"),
        ("M5 x 0.8 x 12 mm", "M5x0.8x12"),
        ("M8 x 1.25 LH", "M8x1.25 LH"),
        ("3/8-16 x 1-1/4 UNC", "3/8-16 UNC x 1-1/4"),
        ("#10-32", "#10-32 UNF"),
        ("3/8 UNC", "3/8-16 UNC"),
        ("1/4-20NC", "1/4-20 UNC"),
        (".250-28", "1/4-28 UNF"),
        ("0.190-32", "#10-32 UNF"),
        ("7/16-20UNF-2A x 1.5", "7/16-20 UNF x 1-1/2"),
        ("1-14 UNS", "1-14"),
        ("3/8-16 x 30 mm", "3/8-16 UNC x 30 mm"),
        ("1/8-27 NPT", "1/8 NPT"),
        ("1-11 1/2 NPT", "1 NPT"),
        ("PT1/8", "PT 1/8"),
        ("Rc 1/4", "Rc 1/4"),
        ("G1/4A", "G 1/4"),
        ("M10 P1.25", "M10x1.25"),
        ("M8x25-10.9", "M8x25"),
        ("2-4 1/2 UNC", "2-4.5 UNC"),
        ("1-14 UNF", "1-14"),
        ("5/16-18 NC-2 x 1", "5/16-18 UNC x 1"),
    ],
)
def test_a_thread_has_one_designation_however_it_is_printed(text: str, designation: str) -> None:
    thread = parse_thread(text)
    assert isinstance(thread, Thread), thread
    assert thread_designation(thread) == designation
    assert parse_thread(designation) == thread


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "thread-missing"),
        ("banana", "thread-unreadable"),
        ("nan", "thread-unreadable"),
        ("-8", "thread-unreadable"),
        ("M0", "thread-size-impossible"),
        ("M500", "thread-size-impossible"),
        ("M1e9", "thread-size-impossible"),
        ("M8x0", "thread-pitch-impossible"),
        ("M8x-1", "thread-below-zero"),
        ("M8 x 1.25 x −5", "thread-below-zero"),
        ("3/8-16 x -1", "thread-below-zero"),
        ("M8x3", "thread-pitch-impossible"),
        ("M8x1.25x0", "thread-pitch-impossible"),
        ("3/8-10", "thread-pitch-impossible"),
        ("3/8-24 UNC", "thread-series-mismatch"),
        ("1/0-20", "thread-size-impossible"),
        ("3/8-16 x 0", "thread-length-impossible"),
        ("1/4-20 BSW", "thread-other-system"),
    ],
)
def test_a_thread_that_cannot_be_is_refused_by_name(text: str, code: str) -> None:
    problem = parse_thread(text)
    assert isinstance(problem, Problem), problem
    assert (problem.code, problem.where) == (code, "thread")


@pytest.mark.parametrize(
    ("text", "designation"),
    [
        ("1/2 X 20 UNF", "1/2-20 UNF"),
        ("1/2 x 20 UNF x 1-1/2", "1/2-20 UNF x 1-1/2"),
        ("5/16 X 18 X 1-1/4", "5/16-18 UNC x 1-1/4"),
        ("No. 10 x 32 x 3/4", "#10-32 UNF x 3/4"),
        ("8-1.25", "M8x1.25"),
        ("8 x 1.25", "M8x1.25"),
        ("10x1,5x30", "M10x1.5x30"),
        ("14x1.5 drain plug", "M14x1.5"),
        ("M8 (13 mm spanner)", "M8"),
        ("3/8-16 with 9/16 in socket", "3/8-16 UNC"),
        ("3/8-16 socket head", "3/8-16 UNC"),
        ("8-32", "#8-32 UNC"),
        ("3/8 x 1-1/4 UNC", "3/8-16 UNC x 1-1/4"),
        ("1/4-20 x 20 mm", "1/4-20 UNC x 20 mm"),
        ("1/2-13 x 8 in", "1/2-13 UNC x 8 in"),
        ("1/2-13 x 40 in", "1/2-13 UNC x 40 in"),
    ],
)
def test_a_cross_a_missing_m_and_a_tool_do_not_change_the_thread(text: str, designation: str) -> None:
    thread = parse_thread(text)
    assert isinstance(thread, Thread), thread
    assert thread_designation(thread) == designation


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("5/16-18 x 25", "thread-length-unit"),
        ("3/8-16 x 30", "thread-length-unit"),
        ("M8 x 1-1/4", "thread-length-unit"),
        ("M8x1.25 x 1 in", "thread-length-unit"),
        ("13 mm spanner", "thread-tool-size"),
        ('1/2" drive socket', "thread-tool-size"),
        ("SW 13", "thread-tool-size"),
        ("13 mm", "thread-unreadable"),
    ],
)
def test_a_length_is_not_guessed_across_systems_and_a_tool_is_no_thread(text: str, code: str) -> None:
    problem = parse_thread(text)
    assert isinstance(problem, Problem), problem
    assert problem.code == code


def test_a_size_alone_takes_the_coarse_pitch() -> None:
    bare, full = parse_thread("M8"), parse_thread("M8x1.25")
    assert isinstance(bare, Thread)
    assert isinstance(full, Thread)
    assert (bare.pitch_mm, bare.working_pitch_mm, full.working_pitch_mm) == (None, 1.25, 1.25)
    assert stress_area_mm2(bare) == stress_area_mm2(full)


def test_a_pipe_thread_has_no_stress_area() -> None:
    thread = parse_thread("1/8 NPT")
    assert isinstance(thread, Thread)
    assert isinstance(stress_area_mm2(thread), Problem)


metric = st.builds(
    "M{:g}{}{}".format,
    st.sampled_from([size for size in METRIC_COARSE if size >= 5]),
    st.sampled_from(["", "x0.5", "x0.8"]),
    st.sampled_from(["", "x12", "x30", "x142.5"]),
)
unified = st.builds(
    "{}{}{}".format,
    st.sampled_from([f"{size}-{tpi:g}" for sizes in UNIFIED_SERIES.values() for size, tpi in sizes.items()]),
    st.sampled_from(["", " LH"]),
    st.sampled_from(["", " x 1", " x 2-13/16", " x 3/4"]),
)


@given(metric | unified)
@settings(max_examples=150)
def test_reading_a_designation_gives_the_same_thread(text: str) -> None:
    thread = parse_thread(text)
    assert isinstance(thread, Thread), thread
    assert parse_thread(thread_designation(thread)) == thread


@given(st.text(max_size=40) | st.text('0123456789 .,-/x"#MUNCFin½', max_size=25))
@settings(max_examples=300)
def test_any_text_is_a_thread_or_a_problem(text: str) -> None:
    assert isinstance(parse_thread(text), Thread | Problem)
    assert isinstance(parse_fastener(text), FastenerText | Problem)
