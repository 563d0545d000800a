"""A step's two names: what it is called on the way off, and what on the way back."""

import re
from typing import Protocol

from app.core.items.roles import Way

LONGEST = 80
"""Of a step's name, [signs]."""

_ENDINGS = (
    (r"\boff\b(?: the (?:vehicle|car|engine))?$", "back on"),
    (r"\bout\b(?: of the (?:vehicle|car))?$", "back in"),
    (r"\bdown$", "back up"),
    (r"\bopen$", "closed"),
)
_BEGINNINGS = (
    ("take off", "refit"),
    ("take out", "refit"),
    ("disconnect", "connect"),
    ("unplug", "plug in"),
    ("unbolt", "bolt on"),
    ("unclip", "clip in"),
    ("unhook", "hook on"),
    ("undo", "do up"),
    ("remove", "refit"),
    ("drain", "fill"),
)
_LEFT = (("drain", "close the drains:"),)
_TURNED = re.compile(
    rf"\b(?:{'|'.join(word for word, _ in _BEGINNINGS)}|off|out|down|open|lift|lower)\b", re.IGNORECASE
)
"""What is turned to its opposite: a name with two of them would be turned by half."""

_SEVERAL = re.compile(r"[,;:]|\b(?:then|first|last|before|after)\b", re.IGNORECASE)
"""Says more than one thing, or in what order: turned by its first word, it could say the wrong order."""


class NamedStep(Protocol):
    """A step as far as its names go."""

    @property
    def name(self) -> str:
        """What it is called on the way off, or on the only way that it goes."""

    @property
    def name_back(self) -> str:
        """What somebody called it on the way back; empty where nobody did."""

    @property
    def direction(self) -> str:
        """`both`, `off_only` or `on_only`."""


class InstructedStep(NamedStep, Protocol):
    """A step with what is to be done in it."""

    @property
    def instruction(self) -> str:
        """What is done on the way off, or on the only way that it goes."""

    @property
    def instruction_back(self) -> str:
        """What is done on the way back."""


def step_name(step: NamedStep, way: Way) -> str:
    """Return what a step is called on one way.

    A step of the way back alone has one name. What nobody named for the way back has the proposed name.
    """
    if way is Way.OFF or (step.direction == "on_only" and not step.name_back):
        return step.name
    return step.name_back or proposed_back(step.name, is_left=step.direction == "off_only")


def step_instruction(step: InstructedStep, way: Way) -> str:
    """Return what is to be done in a step on one way, never what is done on the other.

    Returns:
        The text; empty where nobody wrote one for this way.
    """
    if way is Way.OFF:
        return "" if step.direction == "on_only" else step.instruction
    alone = step.direction == "on_only" and not step.instruction_back
    return step.instruction if alone else step.instruction_back


def proposed_back(name: str, *, is_left: bool = False) -> str:
    """Return what a step may be called on the way back, at most 80 signs.

    "Exhaust off" gives "Exhaust back on", "Disconnect the plugs" "Connect the plugs". A name of several
    parts, or one that says an order, keeps its words: "Connect the battery, ground first" would be wrong.

    Args:
        name: On the way off.
        is_left: Whether the step is for taking off only: what it leaves for the way back are drains to
            close. What was drained is filled in a step of its own.
    """
    plain = name.strip()
    if not plain:
        return ""
    if not _SEVERAL.search(plain) and len(_TURNED.findall(plain)) == 1:
        for ending, back in _ENDINGS:
            if (turned := re.sub(ending, back, plain, flags=re.IGNORECASE)) != plain:
                return turned[:LONGEST]
        for word, back in (*_LEFT * is_left, *_BEGINNINGS):
            if plain.casefold().startswith(f"{word} "):
                return (_cased(plain, back) + plain[len(word) :])[:LONGEST]
    suffix = ": put back"
    return plain[: LONGEST - len(suffix)].rstrip() + suffix


def _cased(like: str, word: str) -> str:
    return word[0].upper() + word[1:] if like[0].isupper() else word
