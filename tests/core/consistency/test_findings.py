"""How a finding reopens its line, and which answer closes it."""

import pytest

from app.core.consistency.findings import FindingAnswer, reopened, unanswered
from app.core.consistency.judge import judge
from app.core.ledger.ledger import Reason
from tests.core.consistency.scenes import COVER, SEALED, scene

LATE = judge(scene(COVER, ["cover off", "gasket off", "cover placed", "gasket placed"], edges=SEALED))


def test_a_finding_reopens_its_line_with_a_reason_of_its_own() -> None:
    assert reopened(LATE) == {"cover": (Reason("sealed-after"),)}


@pytest.mark.parametrize(
    ("person", "reason", "seen", "closes"),
    [
        ("Ada", "it was in", LATE[0].seen, True),
        ("", "it was in", LATE[0].seen, False),
        ("Ada", " ", LATE[0].seen, False),
        ("Ada", "it was in", LATE[0].seen[:1], False),
        ("Ada", "it was in", (*LATE[0].seen, "later"), False),
    ],
)
def test_an_answer_by_name_closes_what_is_asked_until_its_lines_change(
    person: str, reason: str, seen: tuple[str, ...], closes: bool
) -> None:
    answer = FindingAnswer(LATE[0].key, person, reason, seen)
    assert (unanswered(LATE, [answer]) == ()) is closes


def test_no_answer_closes_what_is_impossible() -> None:
    wrong = judge(scene(COVER, ["cover off", "gasket off", "cover placed"], edges=SEALED))
    assert unanswered(wrong, [FindingAnswer(wrong[0].key, "Ada", "I say so", wrong[0].seen)]) == wrong
