"""Whatever is typed is answered with a value or a problem, and soon."""

import time
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.problem import Problem
from app.core.threads.preload import Friction
from app.core.threads.strength import (
    Strength,
    class_named,
    proof_load_n,
    strength_of,
)
from app.core.threads.text import (
    Thread,
    parse_thread,
    stress_area_mm2,
    thread_designation,
)
from app.core.tightening.fastener_text import FastenerText, parse_fastener
from app.core.tightening.sequence import own_order
from app.core.torque.plausibility import Review, review_torque
from app.core.torque.text import (
    Quantity,
    Torque,
    TorqueSpec,
    TorqueUnit,
    format_torque,
    parse_torque,
)
from app.core.torque.units import unit_named
from app.core.torque.wrenches import (
    Adapter,
    Setting,
    Wrench,
    adapter_setting,
    setting_for,
    wrench_problems,
)

PIECES = (
    *(
        "1",
        "12 ",
        "1.5",
        "1,5",
        "1 1/2 ",
        "½",
        "0",
        "1e9",
        "-",
        " - ",
        "+",
        " + ",
        "±",
        "/",
        "(",
        ")",
        "[",
        "]",
    ),
    *(" Nm", " lb-ft", " in-lb", " kgf·cm", "°", " deg", " turn", " flats", "then ", "; ", ", ", "= ", "or "),
    *("step 1 ", "1st ", "bolt ", "bolts 1, 2 ", "M8", "x1.25", "3/8-16", "#10-32", " UNC", " NPT", "G"),
    *("loosen ", "back off ", "again ", "new bolt ", "snug ", "max. ", "min ", "or more", "dry ", "oiled "),
    *("8.8 ", "grade 5 ", "A2-70 ", "\n", "\u202f", "Н·м", "…", "x", "2 x ", "%", "percent", "not ", "than "),
)
texts = st.text(max_size=60) | st.lists(st.sampled_from(PIECES), max_size=14).map("".join)
numbers = st.floats(allow_nan=True, allow_infinity=True) | st.sampled_from([0.0, -1.0, 1e-320, 1e308])


@given(texts)
@settings(max_examples=400)
def test_any_torque_text_is_read_or_refused_and_written_back_the_same(text: str) -> None:
    spec = parse_torque(text)
    if isinstance(spec, Problem):
        assert (spec.where, bool(spec.code), bool(spec.message)) == ("torque", True, True)
    else:
        assert parse_torque(format_torque(spec)) == spec


@given(texts, texts)
@settings(max_examples=300)
def test_any_thread_and_class_text_is_read_or_refused(text: str, class_text: str) -> None:
    thread = parse_thread(text)
    assert isinstance(parse_fastener(text), FastenerText | Problem)
    assert isinstance(class_named(class_text), str | Problem)
    assert isinstance(unit_named(text), TorqueUnit | None)
    if isinstance(thread, Thread):
        assert parse_thread(thread_designation(thread)) == thread
        assert isinstance(stress_area_mm2(thread), float | Problem)
        assert isinstance(strength_of(class_text, thread), Strength | Problem)
        assert isinstance(proof_load_n(class_text, thread), float | Problem)


@given(texts, st.sampled_from(["M8", "3/8-16", "1/8 NPT", "M80x6"]), texts, st.sampled_from(Friction))
@settings(max_examples=200)
def test_any_value_is_reviewed_or_refused(text: str, size: str, class_text: str, friction: Friction) -> None:
    spec, thread = parse_torque(text), parse_thread(size)
    assert isinstance(thread, Thread)
    if isinstance(spec, TorqueSpec):
        assert isinstance(review_torque(spec, thread, class_text, friction), Review | Problem)


@given(st.lists(numbers, min_size=4, max_size=4), texts, st.integers(1, 40))
@settings(max_examples=200)
def test_any_numbers_are_answered(given_numbers: list[float], text: str, bolts: int) -> None:
    one, two, three, four = given_numbers
    assert isinstance(adapter_setting(one, two, three, four), float | Problem)
    assert isinstance(own_order(text, bolts), tuple | Problem)


@given(st.lists(st.decimals(), min_size=3, max_size=3), numbers, numbers, numbers)
@settings(max_examples=200)
def test_any_wrench_is_set_or_refused(
    scale: list[Decimal], lever: float, length: float, angle: float
) -> None:
    wrench = Wrench("typed", scale[0], scale[1], TorqueUnit.POUND_FOOT, scale[2], lever_mm=lever)
    spec = parse_torque("25 N·m")
    assert isinstance(spec, TorqueSpec)
    assert isinstance(spec.stages[0].torque, Torque)
    found = setting_for(spec.stages[0].torque, wrench, Adapter("typed", length, angle), date(2031, 5, 4))
    assert isinstance(found, Setting | Problem)
    assert isinstance(wrench_problems(wrench), tuple)
    if isinstance(found, Setting):
        assert isinstance(found.shown, Quantity)


@pytest.mark.parametrize("end", ["", " Nm", "x", " °", " turn"])
@pytest.mark.parametrize("piece", PIECES)
def test_a_long_run_of_anything_is_answered_soon(piece: str, end: str) -> None:
    text = (piece * 500)[: 500 - len(end)] + end
    start = time.process_time()
    parse_torque(text)
    parse_thread(text)
    parse_fastener(text)
    assert time.process_time() - start < 0.25
