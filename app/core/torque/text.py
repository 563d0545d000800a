"""Torque as manuals print it: read to stages, written back.

The printed text is kept; everything else is derived from it. A number without a unit is refused, never
guessed.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from app.core.numbers import printed_number
from app.core.problem import Problem
from app.core.torque.bands import Band, read_band
from app.core.torque.conditions import two_conditions, two_fasteners
from app.core.torque.reading import StageReader
from app.core.torque.refusals import UnreadableError, too_wide, unit_missing
from app.core.torque.tokens import Token, is_list_label, spelled, tokens_of
from app.core.torque.units import (
    OFFERED,
    Quantity,
    TorqueUnit,
    converted,
    plain,
    sensible,
    split_unit,
    torque_nm,
)
from app.core.torque.values import Limit, Stage, StageKind, Torque, TorqueSpec

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
_LABELLED = frozenset(
    {"bolt", "bolts", "nut", "nuts", "screw", "screws", "stud", "studs", "cap", "caps", "location", "size"}
)
_JOINING = frozenset({"number", "and", "comma", "range"})
_WIDEST_BEHIND_A_NAME = 2
_WIDEST_STEP = 4
"""A number in a list of stages that the next one exceeds by more is a count or a bolt. A rule of the
product."""
_LONGEST = 500


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
    plain_text = spelled(text)
    tokens = tokens_of(plain_text)
    _refuse_two_values(tokens)
    reader = StageReader()
    for token in _with_units(tokens, plain_text):
        reader.take(token)
    stages = reader.finish()
    if not stages:
        raise _nothing_found(tokens, plain_text)
    return TorqueSpec(text, stages)


def _refuse_two_values(tokens: Sequence[Token]) -> None:
    if two_conditions(tokens):
        raise UnreadableError(
            "two-conditions",
            "Two values for two thread conditions. Keep the one that holds for your threads.",
        )
    if two_fasteners(tokens):
        raise UnreadableError(
            "two-fasteners", "Two values for two fasteners. Keep the one for this group, each in its own."
        )


def _nothing_found(tokens: Sequence[Token], text: str) -> UnreadableError:
    number = next((token for token in tokens if token.kind in {"number", "label"}), None)
    if number:
        return unit_missing(number.text, text[number.at : number.at + 16])
    return UnreadableError(
        "value-missing",
        f"No torque, angle or stage was found in “{text[:40]}”. Write a number with its unit: {OFFERED}.",
    )


def _with_units(tokens: Sequence[Token], text: str) -> Iterator[Token]:
    """Give a number the unit that its list or range carries at the end; pass over labels.

    Raises:
        UnreadableError: A number has no unit.
    """
    between: Token | None = None
    for index, token in enumerate(tokens):
        if token.kind == "number" or (token.kind == "label" and not is_list_label(tokens, index)):
            if _is_label(tokens, index):
                continue
            unit = _unit_of_list(tokens, index)
            if unit is None:
                raise unit_missing(token.text, text[token.at : token.at + 16])
            between = token if _is_between(tokens, index) else None
            if between is None:
                yield token._replace(kind="torque", text=f"{token.text} {unit}")
        elif between and token.kind == "torque":
            yield token._replace(text=f"{between.text} to {token.text}")
            between = None
        else:
            _refuse_label_range(tokens, index)
            yield token


def _is_label(tokens: Sequence[Token], index: int) -> bool:
    """`bolts 1, 2 and 3` in front of a value: numbers behind a word for a fastener name it.

    Behind several fasteners, `bolts 20, 40, 60 N·m`, a comma before the value joins the numbers to it: they
    are stages.
    """
    before = next((place for place in range(index - 1, -1, -1) if tokens[place].kind not in _JOINING), None)
    behind = next((at for at in range(index + 1, len(tokens)) if tokens[at].kind not in _JOINING), None)
    if before is None or behind is None or tokens[before].kind != "word":
        return False
    name = tokens[before].text.lower()
    listed = name.endswith("s") and tokens[behind].kind == "torque" and tokens[behind - 1].kind == "comma"
    named = name in _LABELLED and tokens[behind].kind in {"torque", "word"}
    return named and not listed and _has_torque(tokens[index + 1 :])


def _has_torque(tokens: Sequence[Token]) -> bool:
    return any(token.kind == "torque" for token in tokens)


def _is_between(tokens: Sequence[Token], index: int) -> bool:
    return (
        0 < index < len(tokens) - 1
        and tokens[index - 1].kind == "between"
        and tokens[index + 1].kind == "and"
    )


def _unit_of_list(tokens: Sequence[Token], index: int) -> TorqueUnit | None:
    """Return the unit at the end of `20, 35, 45 N·m` or `20 then 40 N·m`, seen from one of its numbers.

    The numbers rise, and a comma or a word parts them: `6 10 N·m` is a count and a value.
    """
    parted, value = False, printed_number(tokens[index].text.rstrip(" .:"))
    for place in range(index + 1, len(tokens)):
        token = tokens[place]
        if token.kind == "torque":
            numbers, unit, _ = split_unit(token.text) or ("", None, "")
            parted = parted or _is_between(tokens, index)
            return unit if parted and _follows(value, read_band(numbers).low) else None
        if token.kind == "number" and parted:
            following = printed_number(token.text)
            if not _follows(value, following):
                return None
            parted, value = False, following
        elif token.kind == "comma" or (token.kind == "hard" and token.text not in {"+", ";"}):
            parted = True
        elif not (token.kind == "and" and _is_between(tokens, index)):
            return None
    return None


def _follows(value: Decimal, following: Decimal) -> bool:
    return 0 < value < following <= _WIDEST_STEP * value


def _refuse_label_range(tokens: Sequence[Token], index: int) -> None:
    """`Tighten nut 8 to 20 N·m` can mean nut 8: no range of one value is so wide.

    Raises:
        UnreadableError: The range stands behind the name of a fastener and is wide.
    """
    named = index and tokens[index - 1].kind == "word" and tokens[index - 1].text.lower() in _LABELLED
    if tokens[index].kind == "torque" and named:
        numbers, _, _ = split_unit(tokens[index].text) or ("", None, "")
        band = read_band(numbers)
        if band.nominal is None and band.high > _WIDEST_BEHIND_A_NAME * band.low:
            raise too_wide(band)


def format_torque(spec: TorqueSpec) -> str:
    """Return the stages in one canonical line; reading it gives an equal spec."""
    return "; ".join(_stage_text(stage) for stage in spec.stages)


def _stage_text(stage: Stage) -> str:
    if stage.torque:
        others = ", ".join(show_torque(other) for other in stage.others)
        lead = ("turning torque " if stage.check else "") + (f"{stage.limit} " if stage.limit else "")
        return lead + show_torque(stage.torque) + (f" ({others})" if others else "")
    degrees = "" if stage.degrees is None else f"{_band_text(stage.degrees)}°"
    return degrees if stage.kind is StageKind.ANGLE else f"{stage.kind} {degrees}".strip()


def _band_text(band: Band) -> str:
    if band.nominal is None:
        return plain(band.low) if band.low == band.high else f"{plain(band.low)}–{plain(band.high)}"
    if band.tolerance is not None:
        return f"{plain(band.nominal)} ±{plain(band.tolerance)}"
    return f"{plain(band.nominal)} +{plain(band.high - band.nominal)}/-{plain(band.nominal - band.low)}"


def show_torque(torque: Torque) -> str:
    """Return a torque as text in its printed unit: `8–12 N·m`, `150 ±20 N·m`."""
    return f"{_band_text(torque.band)} {torque.unit}"


def show_converted(quantity: Quantity | Torque, to_unit: TorqueUnit) -> str:
    """Return a torque in another unit for reading, with no more digits than the print has (two at the least).

    The exact value for arithmetic is `torque_nm`; the setting of a wrench is worked out from that, never from
    this text.
    """
    if isinstance(quantity, Quantity):
        return f"{_shown(quantity, to_unit)} {to_unit}"
    if quantity.unit is to_unit:
        return show_torque(quantity)
    ends = (
        [quantity.band.low]
        if quantity.band.low == quantity.band.high
        else [quantity.band.low, quantity.band.high]
    )
    return "–".join(_shown(Quantity(end, quantity.unit), to_unit) for end in ends) + f" {to_unit}"


def _shown(quantity: Quantity, to_unit: TorqueUnit) -> str:
    if quantity.unit is to_unit:
        return plain(quantity.value)
    return plain(sensible(converted(quantity, to_unit).value, printed=quantity.value))
