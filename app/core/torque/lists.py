"""Numbers of a printed torque without a unit of their own: a list of stages, the ends of a range, labels."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from app.core.numbers import printed_number
from app.core.torque.bands import read_band
from app.core.torque.refusals import too_wide, unit_missing
from app.core.torque.tokens import Token, is_list_label
from app.core.torque.units import TorqueUnit, split_unit

_LABELLED = frozenset(
    {"bolt", "bolts", "nut", "nuts", "screw", "screws", "stud", "studs", "cap", "caps", "location", "size"}
)
_JOINING = frozenset({"number", "and", "comma", "range"})
_NAMING = frozenset({"fastener", "part", "small", "word"})
_BEHIND_A_LABEL = _NAMING | {"torque", "tighten", "turn", "again", "callout"}
_WIDEST_BEHIND_A_NAME = 2
_WIDEST_STEP = 4
"""A number in a list of stages that the next one exceeds by more is a count or a bolt. A rule of the
product."""


def with_units(tokens: Sequence[Token], text: str) -> Iterator[Token]:
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
    if before is None or behind is None or tokens[before].kind not in _NAMING:
        return False
    name = tokens[before].text.lower()
    listed = name.endswith("s") and tokens[behind].kind == "torque" and tokens[behind - 1].kind == "comma"
    if tokens[behind].kind == "torque" and tokens[behind - 1].kind == "and":
        return False  # `bolts 20 and 30 N·m`
    named = name in _LABELLED and tokens[behind].kind in _BEHIND_A_LABEL
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
        elif token.kind in {"comma", "then"} or (token.kind == "hard" and token.text not in {"+", ";"}):
            parted = True
        elif not (
            token.kind == "and" and (parted or _is_between(tokens, index) or _is_list(tokens, place - 1))
        ):
            return None
    return None


def _is_list(tokens: Sequence[Token], index: int) -> bool:
    """`20, 40 and then 60 N·m`: a comma stands before the number; `then` has to part it from the next."""
    return index > 0 and tokens[index - 1].kind == "comma"


def _follows(value: Decimal, following: Decimal) -> bool:
    return 0 < value < following <= _WIDEST_STEP * value


def _refuse_label_range(tokens: Sequence[Token], index: int) -> None:
    """`Tighten nut 8 to 20 N·m` can mean nut 8: no range of one value is so wide.

    Raises:
        UnreadableError: The range stands behind the name of a fastener and is wide.
    """
    named = index and tokens[index - 1].kind in _NAMING and tokens[index - 1].text.lower() in _LABELLED
    if tokens[index].kind == "torque" and named:
        numbers, _, _ = split_unit(tokens[index].text) or ("", None, "")
        band = read_band(numbers)
        if band.nominal is None and band.high > _WIDEST_BEHIND_A_NAME * band.low:
            raise too_wide(band)
