"""Values for two fasteners, sides, materials or states of the thread: never two stages of one bolt.

They are known by the words that head them, whether the values rise or fall. A person chooses one; both texts
are kept.
"""

import re
from collections.abc import Iterable, Sequence
from itertools import pairwise, takewhile

from app.core.torque.names import CONDITIONS, VARIANT_OF
from app.core.torque.refusals import UnreadableError
from app.core.torque.tokens import Token
from app.core.torque.values import deviation_percent, torque_of
from app.core.torque.warnings import names_a_zero

_THREAD = re.compile(r"m\d+(?:[.,]\d+)?|\d+/\d+(?=\s?-\s?\d)", re.IGNORECASE)
_CLASS = re.compile(r"(?:class|grade)\s*(\d+(?:\.\d+)?)", re.IGNORECASE)
_NUMBER = re.compile(r"(?:no\.?|#)\s*(\d+)", re.IGNORECASE)
_INCHES = re.compile(r"\d+/\d+")
_MM = re.compile(r"(\d+(?:[.,]\d+)?)\s*mm\b", re.IGNORECASE)
_NUMBERED = re.compile(r"(?:bolt|nut|screw|stud|cap)s?\Z", re.IGNORECASE)
_ONE_VALUE_WITHIN = 60.0
"""Two units of one value differ by less even where one is misprinted, [%]. A rule of the product."""
_SHORTEST_STEM = 3
_JOINERS = frozenset({"then", "hard", "plus", "step", "again", "tighten", "loosen"})
_TURN_JOINERS = _JOINERS | {"turn", "further", "and", "snug"}
_PARTING = frozenset({
    "then", "hard", "plus", "step", "again", "tighten", "loosen", "comma", "slash", "bar", "line", "stop",
    "and",
    "range", "same", "snug", "new", "least", "most", "or",
})  # fmt: skip
_NAMING = frozenset({"fastener", "part", "variant", "unknown", "callout", "label"})
_VALUES = frozenset({"torque", "angle", "turn_back"})
_VARYING = frozenset({"variant", "new", "angle", "turn_back", "seating"})
_DISCARD = frozenset({"discard", "discarded", "remove", "removed"})


def refuse_alternatives(tokens: Sequence[Token]) -> None:
    """Refuse what holds values for two cases.

    Raises:
        UnreadableError: Two states of the thread, two fasteners, or a turn that takes the place of a torque.
    """
    outside = [token.kind for token in tokens if token.kind in _VALUES and not token.inside]
    if len(outside) == 1 and _VARYING.isdisjoint(token.kind for token in tokens):
        return
    values = _main_values(tokens)
    slashed = any(
        token.kind == "torque" and "/" in token.text.split("m")[0].split("l")[0] for token in tokens
    )
    if len(values) > 1 or slashed or _bracketed_value(tokens):
        _refuse_two_variants(tokens)
    _refuse_seating(tokens, values)
    for first, second in pairwise(values):
        _refuse_another_name(tokens, first, second)


def conditions_of(tokens: Sequence[Token]) -> tuple[str, ...]:
    """Return under which states the value holds: `dry`, `oiled`, `cold`, `hot`, `used`."""
    variants = [VARIANT_OF.get(_key(token)) for token in tokens if token.kind == "variant"]
    renewed = any(token.kind == "new" for token in tokens)
    return tuple(
        dict.fromkeys(
            CONDITIONS[each] for each in variants if each in CONDITIONS and not (renewed and each[0] == "age")
        )
    )


def _key(token: Token) -> str:
    return re.sub(r"[\s\-‐'’./]+", "_", token.text.lower())


def _main_values(tokens: Sequence[Token]) -> list[int]:
    """Return where the values stand, without the further columns of the same one."""
    found: list[int] = []
    for at, token in enumerate(tokens):
        if token.inside or token.kind not in _VALUES:
            continue
        if found and token.kind == "torque" and _is_column(tokens, found[-1], at):
            continue
        found.append(at)
    return found


def _is_column(tokens: Sequence[Token], first: int, second: int) -> bool:
    one, other = torque_of(tokens[first].text), torque_of(tokens[second].text)
    if tokens[first].kind != "torque" or one is None or other is None or one.unit is other.unit:
        return False
    between = tokens[first + 1 : second]
    if any(
        token.kind in {"then", "step", "tighten", "fastener", "part", "variant"}
        for token in between
        if not token.inside
    ):
        return False
    return not one.band.low or deviation_percent(one, other) <= _ONE_VALUE_WITHIN


def _bracketed_value(tokens: Sequence[Token]) -> bool:
    """A turn in brackets behind a torque, `20 N·m (new: 1/2 turn)`."""
    torque = next((at for at, token in enumerate(tokens) if token.kind == "torque"), len(tokens))
    return any(token.inside and token.kind in {"torque", "angle"} for token in tokens[torque + 1 :])


def _refuse_two_variants(tokens: Sequence[Token]) -> None:
    named: dict[str, str] = {}
    discards = any(token.text.lower() in _DISCARD for token in tokens)
    inside_values = {
        at for at, token in enumerate(tokens) if token.inside and token.kind in {"torque", "angle"}
    }
    for at, token in enumerate(tokens):
        said = (
            ("age", "new")
            if token.kind == "new"
            else VARIANT_OF.get(_key(token))
            if token.kind == "variant"
            else None
        )
        if said is None:
            continue
        group, member = said
        first = named.setdefault(group, member)
        if first != member and not (group == "age" and discards):
            raise _two(group, first, member)
        if token.inside and group != "friction" and any(0 < place - at <= 3 for place in inside_values):  # noqa: PLR2004
            raise _two(group, member, "another")


def _two(group: str, first: str, other: str) -> UnreadableError:
    if group in {"friction", "heat", "age"}:
        return UnreadableError(
            "two-conditions",
            f"Values for two conditions ({first}, {other}). Keep the one that holds for your threads.",
        )
    return _two_fasteners(f"{first}, {other}")


def _two_fasteners(names: str) -> UnreadableError:
    return UnreadableError(
        "two-fasteners",
        f"Two values for two fasteners or cases ({names}). Keep the one for this group, each in its own.",
    )


def _refuse_seating(tokens: Sequence[Token], values: Sequence[int]) -> None:
    """`20 N·m, 3/4 turn after seating`: the turn takes the place of the torque."""
    kinds = [tokens[at].kind for at in values]
    kinds += [token.kind for token in tokens if token.inside and token.kind == "angle"]
    seat = next((token for token in tokens if token.kind == "seating"), None)
    if seat and "torque" in kinds and "angle" in kinds:
        raise UnreadableError(
            "either-or",
            f"A torque and a turn “{seat.text}” stand side by side: one takes the place of the other. Write "
            "the one that is used here.",
        )


def _refuse_another_name(tokens: Sequence[Token], first: int, second: int) -> None:
    gap = _without_whiles(tokens[first + 1 : second])
    is_turn = tokens[second].kind != "torque" or tokens[first].kind != "torque"
    joiners = _TURN_JOINERS if is_turn else _JOINERS
    renewed = any(token.text.lower() in _DISCARD for token in gap)
    joined = [
        n for n, token in enumerate(gap)
        if (token.kind in joiners and token.text != ";")
        or (token.kind == "new" and (renewed or _alone(gap, n)))
    ]  # fmt: skip
    before = _without_whiles(tokens[_start(tokens, first) : first])
    names = _names(gap[joined[-1] + 1 :] if joined else gap, loose=not joined)
    if not joined and names and not (is_turn and names <= _names(before, loose=False)):
        raise _two_fasteners(", ".join(sorted(names)))
    if not is_turn and not names_a_zero(tokens[first]) and _PARTING.isdisjoint(token.kind for token in gap):
        raise UnreadableError(
            "two-values",
            f"{tokens[first].text.strip()} and {tokens[second].text.strip()} stand side by side. Keep one, "
            "or write “then” between two stages.",
        )
    _refuse_strangers(before, gap, tokens)


def _alone(tokens: Sequence[Token], at: int) -> bool:
    """`20 N·m; new bolt; 30 N·m`: the new bolt is a thing to do of its own."""
    behind = tokens[at + 2] if at + 2 < len(tokens) else None
    return behind is not None and behind.kind in {"hard", "then", "stop"}


def _start(tokens: Sequence[Token], at: int) -> int:
    return next(
        (place + 1 for place in range(at - 1, -1, -1) if tokens[place].kind in {"torque", "angle"}), 0
    )


def _refuse_strangers(before: Sequence[Token], gap: Sequence[Token], tokens: Sequence[Token]) -> None:
    """A joiner and then another fastener: `the bolts to 20 N·m, then the nuts to 30 N·m`."""
    for kind in ("fastener", "part", "callout"):
        ours, theirs = (_of_kind(some, kind) for some in (before, gap))
        if ours and theirs and not all(any(_same_word(one, other) for one in ours) for other in theirs):
            raise _two_fasteners(", ".join([*ours, *theirs]))
    variants = [_of_kind(some, "variant") for some in (before, gap)]
    if len(_main_values(tokens)) > 1 and variants[1] and set(variants[1]) - set(variants[0]):
        raise _two_fasteners(", ".join(variants[1]))
    for pattern in (_THREAD, _CLASS, _NUMBER, _MM):
        sizes = [
            {
                match.group(match.lastindex or 0).lower()
                for token in some
                if (match := pattern.match(token.text))
            }
            for some in (before, gap)
        ]
        if sizes[1] and sizes[1] != sizes[0]:
            raise _two_fasteners(", ".join(sorted(sizes[0] | sizes[1])))
    labels = [_labels(some) for some in (before, gap)]
    if labels[1] and labels[1] != labels[0]:
        raise _two_fasteners(", ".join(sorted(labels[0] | labels[1])))


def _labels(tokens: Sequence[Token]) -> set[str]:
    """Numbers, letters and ordinals that name one bolt among several."""
    found = set()
    for at, token in enumerate(tokens):
        after_name = at > 0 and _NUMBERED.match(tokens[at - 1].text)
        is_letter = len(token.text) == 1 and token.text.isalpha() and token.text.isupper()
        if after_name and (token.kind in {"number", "label"} or is_letter):
            found.add(token.text.rstrip(" .:").lower())
        elif (token.kind == "nothing" and _NUMBERED.match(token.text.split()[0])) or (
            token.text.lower() in _ORDINALS and at + 1 < len(tokens) and tokens[at + 1].kind == "fastener"
        ):
            found.add(token.text.lower())
    return found


_ORDINALS = frozenset({"first", "second", "third", "fourth", "last"})


def _of_kind(tokens: Iterable[Token], kind: str) -> list[str]:
    return [token.text.lower() for token in tokens if token.kind == kind]


def _same_word(one: str, other: str) -> bool:
    stem = sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False)))
    return stem >= max(_SHORTEST_STEM, min(len(one), len(other)) - 1)


def _names(tokens: Sequence[Token], *, loose: bool) -> set[str]:
    """What is named in a stretch of text; `loose` also takes sizes and numbers for names."""
    named = {token.text.lower() for token in tokens if token.kind in _NAMING}
    if loose:
        named |= {
            token.text.lower()
            for token in tokens
            if token.kind == "nothing"
            and (
                _THREAD.match(token.text)
                or _CLASS.match(token.text)
                or _NUMBER.match(token.text)
                or _INCHES.match(token.text)
                or _MM.match(token.text)
            )
        }
        named |= _labels(tokens)
    return named


def _without_whiles(tokens: Sequence[Token]) -> list[Token]:
    """Leave out `while turning the wheel`, up to the end of the clause."""
    kept: list[Token] = []
    skipping = False
    for token in tokens:
        if token.kind == "while":
            skipping = True
        elif token.kind in {"stop", "comma", "hard", "then", "step", "line"}:
            skipping = skipping and token.kind == "line"
        if not skipping:
            kept.append(token)
    return kept
