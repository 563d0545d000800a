"""Each part has exactly one disposition, whatever was said of it and in whichever order."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.items.items import DESTINIES, FATES
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.items.state import fold
from app.core.ledger.dispositions import DISPOSITIONS, disposition, reason_problem, tally
from tests.core.items.lines import mark, say

OFF = mark("a", Act.OFF)


def of(*lines: Line) -> str:
    return disposition(fold(Kind.PART, 1, [OFF, *lines]))


@pytest.mark.parametrize(
    ("destiny", "fate", "found"),
    [
        ("", "", "refit"),
        ("refit", "sold", "refit"),
        ("transfer", "", "transfer"),
        ("replaced", "", "fate_unsaid"),
        ("replaced", "core_return", "core_return"),
        ("left_out", "", "left_out"),
        ("left_out", "sold", "sold"),
        ("stays_on_old", "", "stays_on_old"),
        ("undecided", "pattern", "undecided"),
    ],
)
def test_destiny_and_fate_make_one_disposition(destiny: str, fate: str, found: str) -> None:
    lines = [say("b", "dispose", {"destiny": destiny}, after="a")] if destiny else []
    lines += [say("c", "fate", {"fate": fate}, after="a")] if fate else []
    assert of(*lines) == found


def test_two_people_who_disagree_leave_it_undecided() -> None:
    one, other = (
        say(i, "dispose", {"destiny": d}, after="a") for i, d in (("b", "transfer"), ("c", "left_out"))
    )
    assert of(one, other) == "undecided"


SAID = st.one_of(
    st.builds(lambda d: ("dispose", {"destiny": d}), st.sampled_from(DESTINIES)),
    st.builds(lambda f: ("fate", {"fate": f}), st.sampled_from(FATES)),
)


@settings(max_examples=80)
@given(st.lists(st.lists(st.tuples(SAID, st.booleans()), max_size=5), max_size=12))
def test_the_sum_of_the_dispositions_is_the_number_of_parts(
    parts: list[list[tuple[tuple[str, dict[str, str]], bool]]],
) -> None:
    states = []
    for said in parts:
        lines = [OFF]
        for nth, ((verb, body), saw) in enumerate(said):
            lines.append(say(f"x{nth}", verb, body, after=[lines[-1].id] if saw else ["a"]))
        states.append(fold(Kind.PART, 1, lines))
    counts = tally(states)
    assert sum(counts.values()) == len(parts)
    assert list(counts) == list(DISPOSITIONS)


@pytest.mark.parametrize("destiny", ["left_out", "stays_on_old"])
def test_what_does_not_go_back_needs_a_reason_and_the_rest_does_not(destiny: str) -> None:
    problem = reason_problem(destiny, "")
    assert problem is not None
    assert problem.where == "reason"
    assert reason_problem(destiny, "it is worn") is None
    assert reason_problem("refit", "") is None
