"""What the judge of sequence found, as a person reads it, and what is offered to put it right."""

from collections.abc import Mapping
from types import MappingProxyType

from app.core.consistency.findings import Finding

_FOUND: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "in-place-while-away": (
            "{item} is marked in place, and it is away.",
            "Say that it came back, or mark it off.",
        ),
        "left-in": (
            "{other} is still in, and {item} is on over it.",
            "Take it out and mark it out, or mark {item} off.",
        ),
        "out-after-closed": (
            "{other} was marked out after {item} was on.",
            "Was it out before? Say so by name, or take {item} off and look.",
        ),
        "unsealed": (
            "{item} is on, and {other} under it is not in.",
            "Mark {other} in place too, or mark {item} off.",
        ),
        "sealed-after": (
            "{other} was marked in place after {item} went on it.",
            "Was it in before? Say so by name, or take {item} off and look.",
        ),
        "tight-without-part": (
            "{item} is tight, and {other}, which it holds, is not in.",
            "Mark {other} in place too, or mark {item} off.",
        ),
        "tight-before-part": (
            "{item} was marked tight before {other}, which it holds, was in.",
            "Tighten {item} again, or say by name that it was so.",
        ),
        "joined-while-out": (
            "{item} is marked joined, and {other} is not in the vehicle.",
            "Mark {item} off, or say that {other} is in.",
        ),
        "on-while-out": (
            "{item} was never marked off, and {other} is out.",
            "Mark {item} off, or not used on this vehicle.",
        ),
        "unrecorded": (
            "{item} was never marked, and {other} was out before the record began.",
            "Mark it joined, or say by name that it is.",
        ),
        "filled-open": (
            "{item} is filled, and {other}, which closes it, is not finished.",
            "Finish {other}, or say what plugs the opening.",
        ),
        "closed-after-filled": (
            "{item} was marked filled before {other} was finished.",
            "Look at the level at its mark, then say by name that it is right.",
        ),
        "primed-dry": (
            "{item} is marked done, and {other} is not filled.",
            "Fill {other} and build pressure again.",
        ),
        "primed-before-filled": (
            "{item} was marked done before {other} was filled.",
            "Build pressure again, or say by name that oil was in.",
        ),
        "amount-low": (
            "Much less of {item} went in than belongs in.",
            "Look at the level at its mark, add, or say by name why it is right.",
        ),
        "amount-high": (
            "Much more of {item} went in than belongs in.",
            "Look at the level at its mark, drain, or say by name why it is right.",
        ),
        "renewed-after-tight": (
            "{item} was marked renewed after it was tight.",
            "Tighten the new ones, or say by name that they were in already.",
        ),
        "checked-before-work": (
            "The double-check of {item} had not seen the newest tightening.",
            "Double-check it again, or say by name that the work was the same.",
        ),
        "looked-before-it-rose": (
            "{item} was double-checked before the engine was out again.",
            "Double-check it again.",
        ),
        "milestones-differ": (
            "Two people who had not seen each other say different things of what happened.",
            "Say which is true.",
        ),
    }
)
_UNTRUE: Mapping[str, str] = MappingProxyType(
    {
        "is-gone": "it is said to be gone",
        "hangs-already": "it hangs already",
        "not-risen": "it is still in the vehicle",
        "in-already": "it is in the vehicle already",
        "other-in": "another one is still in its place",
        "not-lifted-in": "it is not in the vehicle",
        "landed-already": "its weight is on its mounts already",
        "mated-already": "engine and gearbox are together already",
        "apart-already": "engine and gearbox are apart already",
        "not-together": "engine and gearbox are in different places",
        "no-engine-in": "no engine stands on its mounts in the vehicle",
        "not-started": "the engine has not been started",
        "round-ahead": "it has not been out that often",
    }
)
CODES = frozenset(_FOUND)


def finding_text(finding: Finding, item: str, other: str = "") -> str:
    """Return what is wrong, in one sentence.

    Args:
        finding: What was found.
        item: The thing, as a person calls it.
        other: What it is wrong with, as a person calls it.
    """
    if finding.code in _FOUND:
        return _FOUND[finding.code][0].format(item=item, other=other)
    return f"{item} cannot have been then: {untrue_text(finding.code.removeprefix('milestone-'))}."


def untrue_text(code: str) -> str:
    """Return why a milestone cannot have been."""
    return _UNTRUE.get(code, "what was marked cannot be read")


def offer_text(finding: Finding, item: str, other: str = "") -> str:
    """Return what is offered to put it right."""
    if finding.code in _FOUND:
        return _FOUND[finding.code][1].format(item=item, other=other)
    return "Undo it, or mark first what came before it."
