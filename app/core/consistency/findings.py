"""What the judge of sequence finds, and the answers that close it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from app.core.ledger.ledger import Reason

LOOKED_BEFORE = "looked-before-it-rose"
"""A second look that a new round of the engine made void: the work stands, the look is taken again."""


class Verdict(StrEnum):
    """`IMPOSSIBLE` cannot be true and is put right by a mark; `ASKS` is closed by an answer."""

    IMPOSSIBLE = "impossible"
    ASKS = "asks"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found.

    Args:
        code: What is wrong, such as `in-place-while-away`.
        item: The line that it reopens; for a milestone its first line's id.
        other: The thing or unit that it is wrong with; empty where it is the item alone.
        positions: Of the item; empty for all of it.
        seen: Ids of the lines that it speaks of: an answer that names others has lapsed.
    """

    code: str
    verdict: Verdict
    item: str
    other: str = ""
    positions: tuple[int, ...] = ()
    seen: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """Its name in answers."""
        return ":".join(filter(None, (self.code, self.item, self.other)))


@dataclass(frozen=True, slots=True)
class FindingAnswer:
    """What a person said about a finding: why it is right as it is, and which lines they had seen."""

    key: str
    person: str
    reason: str
    seen: tuple[str, ...] = ()


def unanswered(findings: Iterable[Finding], answers: Iterable[FindingAnswer]) -> tuple[Finding, ...]:
    """Return the findings that keep their lines open.

    An answer closes a finding that asks, by name and with a reason, as long as the lines that it speaks of
    are those that its person had seen. What is impossible no answer closes.
    """
    said: dict[str, list[FindingAnswer]] = {}
    for answer in answers:
        if answer.person.strip() and answer.reason.strip():
            said.setdefault(answer.key, []).append(answer)
    return tuple(finding for finding in findings if not _is_answered(finding, said))


def _is_answered(finding: Finding, said: Mapping[str, list[FindingAnswer]]) -> bool:
    if finding.verdict is Verdict.IMPOSSIBLE:
        return False
    return any(set(answer.seen) == set(finding.seen) for answer in said.get(finding.key, ()))


def reopened(findings: Iterable[Finding]) -> dict[str, tuple[Reason, ...]]:
    """Return for each line that findings reopen the reasons, to stand beside those of `why_open`."""
    found: dict[str, list[Reason]] = {}
    for finding in findings:
        found.setdefault(finding.item, []).append(Reason(finding.code, finding.positions))
    return {item: tuple(reasons) for item, reasons in found.items()}
