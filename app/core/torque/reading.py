"""From the pieces of a printed torque to its stages."""

import re
from dataclasses import replace
from decimal import Decimal

from app.core.torque.angles import read_angles
from app.core.torque.bands import Band
from app.core.torque.lexicon import AGAIN_ADVERBS
from app.core.torque.refusals import (
    UnreadableError,
    checked,
    refuse_a_fall,
    refuse_a_fraction,
    settled,
)
from app.core.torque.stage_values import bounded, range_of, with_column
from app.core.torque.tokens import Token
from app.core.torque.units import split_unit
from app.core.torque.values import (
    Limit,
    Stage,
    StageKind,
    Torque,
    torque_of,
)

_LARGEST_DEGREES = 3600
_ZERO = re.compile(r"0(?:[.,]0+)?(?![\d.,\s]*\d)")
_EVENTS = {"again": StageKind.AGAIN, "snug": StageKind.SNUG}
_JOINERS = frozenset({"hard", "then", "plus", "step"})
_FLAGS = frozenset({"felt", "exceed", "least", "most"})
_UNSEEN = frozenset({"stop", "line", "slash", "bar", "callout"})
"""Pieces that leave standing what was before them: `20 N·m.` and `max` are one."""
_TOLD = (
    _JOINERS
    | _FLAGS
    | {"comma", "unit", "loosen", "new", "same", "range", "and", "torque", "angle", *_EVENTS}
)


class StageReader:
    """Collects stages while the pieces of one text go by, first to last."""

    def __init__(self) -> None:
        self.stages: list[Stage] = []
        self._fresh = True  # a joining word has gone by: the next value is a stage of its own
        self._before = ""  # the kind of the piece before
        self._limit = Limit.NONE
        self._check = False
        self._event: StageKind | None = None
        self._plus = False  # a plus sign stands directly behind a torque

    def take(self, token: Token) -> None:
        """Read one piece.

        Raises:
            UnreadableError: The piece holds a number that cannot be right.
        """
        if token.kind in _UNSEEN:
            return
        if token.kind == "torque":
            self._take_torque(token)
        elif token.kind in {"angle", "turn_back"}:
            self._take_angles(token)
        else:
            self._take_word(token)
        apart = token.kind == "range" and self._before != "torque"
        self._before = token.kind if token.kind in _TOLD and not apart else "word"

    def finish(self) -> tuple[Stage, ...]:
        """Return the stages after the last piece."""
        self._end_clause()
        return tuple(settled(stage) for stage in bounded(self.stages))

    @property
    def _loosened(self) -> bool:
        return bool(self.stages) and not self._fresh and self.stages[-1].kind is StageKind.LOOSEN

    def _take_word(self, token: Token) -> None:
        kind = token.kind
        self._plus = kind == "plus" or (token.text == "+" and self._before == "torque")
        if kind in _JOINERS:
            self._end_clause()
            self._fresh = True
        elif kind == "comma":
            self._end_event()
        elif kind in _EVENTS:
            if token.text.lower() in AGAIN_ADVERBS and self._before == "torque":
                return  # `tighten to 20 N·m again`
            self._event = _EVENTS[kind]
        elif kind == "unit":
            self._repeat_unit(token)
        elif kind == "loosen":
            self._add(Stage(StageKind.LOOSEN))
        elif kind == "new":
            self._take_new(token)
        elif kind in _FLAGS:
            self._take_flag(kind)

    def _take_new(self, token: Token) -> None:
        """A remark in brackets, `60 N·m + 90° (renew bolts)`, holds before anything is tightened."""
        new = Stage(StageKind.NEW_BOLT)
        if not token.inside:
            self._add(new)
        elif new not in self.stages:
            self.stages.insert(0, new)

    def _take_flag(self, kind: str) -> None:
        if kind in {"felt", "exceed"}:
            self._check = True
        if kind == "felt":
            return
        limit = Limit.LEAST if kind == "least" else Limit.MOST
        if self._before == "torque" and self.stages[-1].limit is Limit.NONE:
            self.stages[-1] = replace(self.stages[-1], limit=limit)
        else:
            self._limit = limit

    def _take_torque(self, token: Token) -> None:
        if self._loosened and _ZERO.match(token.text):
            return  # `loosen to 0 N·m`
        torque = _torque(token)
        last = None if self._fresh or not self.stages or self.stages[-1].torque is None else self.stages[-1]
        if self._plus and self._widened(torque):
            return
        if last and (
            self._before == "range" or self._is_upper_end(last) or (token.signed and self._before == "torque")
        ):
            merged = range_of(last, torque)
            if merged:
                self.stages[-1], self._limit = merged, Limit.NONE
                return
        if token.signed:
            raise UnreadableError(
                "torque-negative", f"“-{token.text}” is below zero: a torque is above zero."
            )
        if last and self._is_column(last, torque, token):
            self.stages[-1] = with_column(last, torque)
            return
        refuse_a_fall(last, torque)
        self._add(Stage(StageKind.TORQUE, torque=torque, limit=self._limit, check=self._check))
        self._limit, self._check = Limit.NONE, False

    def _is_upper_end(self, last: Stage) -> bool:
        """`min. 20 N·m, max. 25 N·m` is a range."""
        return last.limit is Limit.LEAST and self._limit is Limit.MOST

    def _widened(self, up: Torque) -> bool:
        """Take `8 N·m +2 N·m` for a tolerance upward: a stage below the one before it needs loosening first.

        Raises:
            UnreadableError: It is neither a small part of the value nor above it.
        """
        stage = self.stages[-1]
        torque = stage.others[-1] if stage.others else stage.torque
        if torque is None or torque.unit != up.unit or up.band.high >= torque.band.low:
            return False
        if (
            self._before == "plus"
            or torque.band.low != torque.band.high
            or 2 * up.band.high > torque.band.low
        ):
            raise UnreadableError(
                "plus-unclear",
                f"“+{up.band.high:f} {up.unit}” can be a tolerance or a stage. Write it as ± or as +5/-0.",
            )
        nominal = torque.band.low
        wide = Torque(Band(nominal, nominal + up.band.high, nominal), torque.unit)
        others = (*stage.others[:-1], wide) if stage.others else ()
        self.stages[-1] = replace(stage, others=others) if others else replace(stage, torque=wide)
        self._plus = self._fresh = False
        return True

    def _is_column(self, last: Stage, torque: Torque, token: Token) -> bool:
        units = {last.torque.unit if last.torque else None, *(other.unit for other in last.others)}
        return torque.unit not in units or token.inside or self._before == "same"

    def _take_angles(self, token: Token) -> None:
        kind = StageKind.LOOSEN if token.kind == "turn_back" else StageKind.ANGLE
        if self._event is StageKind.SNUG and not token.inside:
            self._add(Stage(StageKind.SNUG))  # `from finger tight 90°`
            self._event = None
        for degrees in _angles(token):
            last = self.stages[-1] if self.stages and not self._fresh else None
            if last and last.degrees and (token.inside or self._before == "same"):
                _same_angle(last.degrees, degrees, token)
            else:
                self._add(Stage(kind, degrees=degrees, limit=self._limit))
        self._limit = Limit.NONE

    def _add(self, stage: Stage) -> None:
        if not (stage.kind is StageKind.NEW_BOLT and self.stages and self.stages[-1] == stage):
            self.stages.append(stage)
        self._fresh, self._event = False, None

    def _repeat_unit(self, token: Token) -> None:
        """Accept `Newton metre (N·m)`; refuse a unit that has no number."""
        named = split_unit(token.text)
        last = self.stages[-1].torque if self.stages else None
        if named is None or last is None or named[1] != last.unit:
            raise UnreadableError(
                "number-missing",
                f"No number stands before the unit: stopped at “{token.text}”. Write the number too.",
            )

    def _end_event(self) -> None:
        if self._event and (self._fresh or self._before in {*_EVENTS, "word"}):
            self._add(Stage(self._event))
        self._event = None

    def _end_clause(self) -> None:
        self._end_event()
        if self._check and self.stages and self.stages[-1].torque and not self._fresh:
            self.stages[-1] = replace(self.stages[-1], check=True)
        self._check = False


def _torque(token: Token) -> Torque:
    torque = torque_of(token.text)
    if torque is None:
        raise ValueError(token.text)
    if "/" in token.text and (parted := split_unit(token.text)):
        refuse_a_fraction(parted[0])
    return checked(torque, token.text)


def _angles(token: Token) -> tuple[Band, ...]:
    try:
        angles = read_angles(token.text)
    except ValueError as error:
        raise UnreadableError("angle-unreadable", f"Stopped at the angle “{token.text}”.") from error
    if not all(Decimal(0) < angle.low <= angle.high <= _LARGEST_DEGREES for angle in angles):
        raise UnreadableError(
            "angle-out-of-range", f"The angle “{token.text}” is not above 0° and at most {_LARGEST_DEGREES}°."
        )
    return angles


def _same_angle(first: Band, other: Band, token: Token) -> None:
    if abs(first.target - other.target) > 1:
        raise UnreadableError(
            "angles-disagree",
            f"Two angles for one turn: {first.target:f}° and “{token.text}”. Which one holds?",
        )
