"""What a gate is told: answers, passes and starts, in any order, in this round or an earlier one."""

from app.core.gates.gates import fold_gate, gate_subject
from tests.core.gates.ledgers import tell

YES = tell("y", "answer", {"question": "neutral", "value": "yes"}, seq=1)
PASSED = tell("p", "pass", {"open": []}, after="y", seq=2)


def test_starts_and_rechecks_outlive_a_gate_begun_anew() -> None:
    start = tell("s", "start", {"on": "2031-05-04"}, after="p", seq=3)
    looked = tell("l", "answer", {"question": "s/hot", "value": "yes"}, after="s", seq=4)
    anew = tell("a", "answer", {"anew": True}, after="l", seq=5)
    told = fold_gate([YES, PASSED, start, looked, anew])
    assert ([each.line for each in told.starts], set(told.answers)) == (["s"], {"s/hot"})


def test_the_same_lines_give_the_same_gate_in_any_order_and_repeated() -> None:
    lines = [
        YES,
        PASSED,
        tell("u", "undo", {"line": "p"}, after="p"),
        tell("q", "pass", {"open": []}, after="u"),
    ]
    assert fold_gate(lines) == fold_gate([*reversed(lines), *lines])


def test_a_gate_has_a_subject_of_its_own_in_each_build() -> None:
    assert len({gate_subject(build, key) for build in "ab" for key in ("lift", "start")}) == 4
    assert gate_subject("a", "lift") == gate_subject("a", "lift")


def test_what_was_said_in_an_earlier_round_holds_no_longer() -> None:
    later = tell("z", "answer", {"question": "neutral", "value": "yes", "round": 2}, after="p", seq=3)

    assert set(fold_gate([YES, PASSED]).answers) == {"neutral"}
    second = fold_gate([YES, PASSED, later], 2)
    assert ([*second.passes], second.answers["neutral"].line) == ([], "z")
    assert [each.line for each in second.earlier] == ["p"]
