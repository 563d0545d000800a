"""Torque as manuals print it: read to stages, written back.

The printed text is kept; everything else is derived from it. A number without a unit is refused, never
guessed.
"""

from collections.abc import Sequence
from decimal import Decimal
from itertools import groupby

from app.core.problem import Problem
from app.core.torque.accounts import refuse_increments, refuse_unknown_text
from app.core.torque.alternatives import conditions_of, refuse_alternatives
from app.core.torque.bands import Band
from app.core.torque.chains import merged_chains, with_bracket
from app.core.torque.digits import settle_numbers
from app.core.torque.directions import with_directions
from app.core.torque.doubts import doubts_of, looks_again
from app.core.torque.lists import with_units
from app.core.torque.reading import StageReader
from app.core.torque.refusals import (
    UnreadableError,
    refuse_a_turn_before_snug,
    refuse_raised,
    unit_missing,
)
from app.core.torque.tokens import Token, spelled, tokens_of
from app.core.torque.units import (
    OFFERED,
    Quantity,
    TorqueUnit,
    converted,
    plain,
    sensible,
    significant_digits,
    torque_nm,
)
from app.core.torque.values import (
    Limit,
    Stage,
    StageKind,
    Torque,
    TorqueSpec,
)
from app.core.torque.warnings import without_warnings

__all__ = [
    "Limit",
    "Quantity",
    "Stage",
    "StageKind",
    "Torque",
    "TorqueSpec",
    "TorqueUnit",
    "format_torque",
    "parse_torque",
    "show_converted",
    "show_torque",
    "torque_nm",
]
_LONGEST = 500
_DECIMALS_OF_THOUSANDS = 3


def parse_torque(text: str) -> TorqueSpec | Problem:
    """Read a torque in any usual spelling.

    Read are numbers, ranges and tolerances with N·m, lb·ft, lb·in, kgf·m, kgf·cm (and N·cm, cN·m, daN·m,
    ozf·in); angles in degrees, parts of a turn or flats; stages joined by `then`, `+`, `;`, an arrow or step
    numbers; loosening, repeating, a new bolt, snug. Callouts in brackets, numbered bolts, threads, lengths
    and words are passed over. Refused is what holds two values for one bolt: two thread conditions, two
    fasteners, a second value in the same unit, a value that falls with no word between.

    Args:
        text: The text as printed, at most 500 characters.

    Returns:
        The stages with the text kept, or a `Problem` that says what is missing or where reading stopped.
    """
    if not text.strip():
        return Problem("torque-missing", f"Type the torque with its unit: {OFFERED}.", "torque")
    if len(text) > _LONGEST:
        return Problem("torque-too-long", f"Keep the torque text to {_LONGEST} characters.", "torque")
    try:
        return _read(text)
    except UnreadableError as error:
        return error.problem


def _read(text: str) -> TorqueSpec:
    refuse_raised(text)
    plain_text = spelled(text)
    scanned = settle_numbers(tokens_of(plain_text))
    tokens = with_directions(without_warnings(scanned))
    refuse_alternatives(tokens)
    refuse_increments(tokens)
    stages = merged_chains(_stages(list(with_units(tokens, plain_text))))
    if not stages:
        raise _nothing_found(tokens, plain_text)
    refuse_a_turn_before_snug(stages)
    unknown = refuse_unknown_text(tokens)
    conditions, recheck = conditions_of(tokens), looks_again(tokens)
    doubts = doubts_of(text, tokens, stages, unknown, conditions, recheck=recheck)
    return TorqueSpec(text, stages, conditions, recheck, doubts)


def _stages(tokens: Sequence[Token]) -> tuple[Stage, ...]:
    """Read the pieces to stages; a chain in brackets is compared with the one before it."""
    reader = StageReader()
    if not _is_chain([token for token in tokens if token.inside]):
        for token in tokens:
            reader.take(token)
        return reader.finish()
    for inside, run in groupby(tokens, key=lambda token: token.inside):
        pieces = list(run)
        if inside and _is_chain(pieces) and reader.stages:
            bracket = StageReader()
            for token in pieces:
                bracket.take(token)
            reader.stages = with_bracket(reader.stages, bracket.finish())
            continue
        for token in pieces:
            reader.take(token)
    return reader.finish()


def _is_chain(tokens: Sequence[Token]) -> bool:
    kinds = [token.kind for token in tokens]
    turns = {"angle", "turn_back"} & set(kinds)
    return "torque" in kinds and bool(
        turns or (kinds.count("torque") > 1 and {"then", "hard", "step"} & set(kinds))
    )


def _nothing_found(tokens: Sequence[Token], text: str) -> UnreadableError:
    number = next((token for token in tokens if token.kind in {"number", "label"}), None)
    if number:
        return unit_missing(number.text, text[number.at : number.at + 16])
    return UnreadableError(
        "value-missing",
        f"No torque, angle or stage was found in “{text[:40]}”. Write a number with its unit: {OFFERED}.",
    )


def format_torque(spec: TorqueSpec) -> str:
    """Return the stages in one canonical line; reading it gives an equal spec."""
    line = "; ".join(_stage_text(stage) for stage in spec.stages)
    later = "; check again later" if spec.recheck else ""
    return line + (f" ({', '.join(spec.conditions)})" if spec.conditions else "") + later


def _stage_text(stage: Stage) -> str:
    limit = f"{stage.limit} " if stage.limit else ""
    if stage.torque:
        others = ", ".join(show_torque(other) for other in stage.others)
        lead = ("turning torque " if stage.check else "") + limit
        return lead + show_torque(stage.torque) + (f" ({others})" if others else "")
    degrees = "" if stage.degrees is None else f"{limit}{_band_text(stage.degrees)}°"
    return degrees if stage.kind is StageKind.ANGLE else f"{stage.kind} {degrees}".strip()


def _band_text(band: Band) -> str:
    if band.nominal is None:
        return figure(band.low) if band.low == band.high else f"{figure(band.low)}–{figure(band.high)}"
    if band.tolerance is not None:
        return f"{figure(band.nominal)} ±{figure(band.tolerance)}"
    return f"{figure(band.nominal)} +{figure(band.high - band.nominal)}/-{figure(band.nominal - band.low)}"


def figure(value: Decimal) -> str:
    """Return a number that cannot be taken for thousands: `1.250` is written `1.25`, `2.046` as `2.0460`."""
    text = plain(value)
    whole, _, decimals = text.partition(".")
    if len(decimals) != _DECIMALS_OF_THOUSANDS or whole == "0" or len(whole) > _DECIMALS_OF_THOUSANDS:
        return text
    return text[:-1] if text.endswith("0") else f"{text}0"


def show_torque(torque: Torque) -> str:
    """Return a torque as text in its printed unit: `8–12 N·m`, `150 ±20 N·m`."""
    return f"{_band_text(torque.band)} {torque.unit}"


def show_converted(quantity: Quantity | Torque, to_unit: TorqueUnit) -> str:
    """Return a torque in another unit for reading, within 0.5 % of the print.

    It has as many digits as the print, two at the least; where that would be off by more, it has up to three
    and `≈` before it, so that it never looks more exact than the print.

    The exact value for arithmetic is `torque_nm`; the setting of a wrench is worked out from that, never from
    this text.
    """
    if isinstance(quantity, Quantity):
        return f"{_about([quantity], to_unit)}{_shown(quantity, to_unit)} {to_unit}"
    if quantity.unit is to_unit:
        return show_torque(quantity)
    ends = (
        [quantity.band.low]
        if quantity.band.low == quantity.band.high
        else [quantity.band.low, quantity.band.high]
    )
    printed = [Quantity(end, quantity.unit) for end in ends]
    return _about(printed, to_unit) + "–".join(_shown(each, to_unit) for each in printed) + f" {to_unit}"


def _about(printed: Sequence[Quantity], to_unit: TorqueUnit) -> str:
    """The sign before figures that need more digits than their print has."""
    more = any(
        each.unit is not to_unit
        and significant_digits(Decimal(_shown(each, to_unit))) > max(2, significant_digits(each.value))
        for each in printed
    )
    return "≈" if more else ""


def _shown(quantity: Quantity, to_unit: TorqueUnit) -> str:
    if quantity.unit is to_unit:
        return plain(quantity.value)
    return plain(sensible(converted(quantity, to_unit).value, printed=quantity.value))
