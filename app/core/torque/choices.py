"""What a person does with a reading: confirm it, choose among alternatives, compare an old and a new one."""

from dataclasses import dataclass

from app.core.problem import Problem
from app.core.torque.text import format_torque, parse_torque
from app.core.torque.tokens import Token, spelled, tokens_of
from app.core.torque.values import TorqueSpec

CHOICE_CODES = frozenset({"two-conditions", "two-fasteners", "either-or", "two-values"})
"""The problems of `parse_torque` that a choice may settle."""
_VALUES = frozenset({"torque", "angle"})
_SEPARATORS = (
    frozenset({"or"}),
    frozenset({"line"}),
    frozenset({";"}),
    frozenset({"stop"}),
    frozenset({"bar", "slash"}),
    frozenset({"comma"}),
    frozenset({"and"}),
)
_MOST_CHOICES = 12


@dataclass(frozen=True, slots=True)
class Choice:
    """One of the values that a print gives for different cases.

    Args:
        text: Its part of the print, heading and value.
        spec: What it says.
    """

    text: str
    spec: TorqueSpec


def needs_confirming(spec: TorqueSpec) -> bool:
    """Tell whether a person is to confirm a reading once; a plain form covers every word and needs none."""
    return bool(spec.doubts)


def choices_of(text: str) -> tuple[Choice, ...]:
    """Return the values for different cases that one print holds, in its order.

    Args:
        text: A print that `parse_torque` refuses with one of `CHOICE_CODES`.

    Returns:
        Two choices or more, each read on its own; none where the print does not fall into such parts.
    """
    problem = parse_torque(text)
    if not isinstance(problem, Problem) or problem.code not in CHOICE_CODES:
        return ()
    plain_text = spelled(text)
    tokens = tokens_of(plain_text)
    for separators in _SEPARATORS:
        parts = _parts(plain_text, tokens, separators)
        if not 1 < len(parts) <= _MOST_CHOICES:
            continue
        read = [(part, parse_torque(part)) for part in parts]
        choices = tuple(Choice(part, spec) for part, spec in read if isinstance(spec, TorqueSpec))
        if len(choices) == len(parts):
            return choices
    return ()


def _parts(text: str, tokens: list[Token], separators: frozenset[str]) -> list[str]:
    """Cut a text at the separators that stand between values; each part holds a value."""
    cuts: list[int] = []
    has_value = False
    for at, token in enumerate(tokens):
        has_value = has_value or token.kind in _VALUES
        cuts_here = token.kind in separators or token.text in separators
        if cuts_here and has_value and any(each.kind in _VALUES for each in tokens[at:]):
            cuts.append(at)
            has_value = False
    starts = [0, *(tokens[at].at + len(tokens[at].text) for at in cuts)]
    ends = [*(tokens[at].at for at in cuts), len(text)]
    return [text[start:end].strip(" ,;.\n") for start, end in zip(starts, ends, strict=True)]


def says_the_same(reading: str, text: str) -> bool:
    """Tell whether a reading that was kept says what the print reads as now.

    Args:
        reading: The canonical line that was kept, as `format_torque` wrote it.
        text: The print.

    Returns:
        Whether both give the same stages, conditions and look later; false where one cannot be read.
    """
    old, new = parse_torque(reading), parse_torque(text)
    if isinstance(old, Problem) or isinstance(new, Problem):
        return False
    return format_torque(old) == format_torque(new)


def stands_unasked(reading: str, text: str) -> bool:
    """Tell whether an old reading stays without a question: the print is of plain form and says the same."""
    new = parse_torque(text)
    return isinstance(new, TorqueSpec) and not needs_confirming(new) and says_the_same(reading, text)
