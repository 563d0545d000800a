"""Every word of a printed torque is accounted for: what is not known is refused, or told to be confirmed."""

from collections.abc import Sequence
from itertools import pairwise

from app.core.torque.refusals import UnreadableError
from app.core.torque.tokens import Token

_VALUES = frozenset({"torque", "angle", "turn_back"})
_UNDOING = ("un", "dis", "los", "ent", "des", "dés", "zurück")
_FEW = 3
_INCREMENTS = frozenset({"steps", "increments", "increment"})


def refuse_unknown_text(tokens: Sequence[Token]) -> tuple[str, ...]:
    """Return the unknown words that only name what is tightened.

    An unknown word may stand in the heading before the first torque, as the name of a part: before a
    fastener, a colon, leader dots or a line end. Anywhere else it can change the act.

    Raises:
        UnreadableError: An unknown word stands where a verb, a condition or a part of a turn may stand.
    """
    unknown = [at for at, token in enumerate(tokens) if token.kind == "unknown"]
    if not unknown:
        return ()
    first = next((at for at, token in enumerate(tokens) if token.kind in _VALUES), len(tokens))
    for at in unknown:
        if (
            at > first
            or first == len(tokens)
            or tokens[first].kind != "torque"
            or not _names_a_part(tokens, at, first)
        ):
            raise UnreadableError(
                "word-unknown",
                f"The word “{tokens[at].text}” is not known here and may change what is done. Leave it out, "
                "or keep the print as a note and write the torque alone.",
            )
    return tuple(tokens[at].text for at in unknown)


def refuse_increments(tokens: Sequence[Token]) -> None:
    """`in 10 N·m steps up to 65 N·m`: the first figure is how much more each time.

    Raises:
        UnreadableError: A torque is that of an increment.
    """
    for one, other in pairwise(tokens):
        if one.kind == "torque" and other.kind == "small" and other.text.lower() in _INCREMENTS:
            raise UnreadableError(
                "not-a-value",
                f"“{one.text.strip()} {other.text}”: that is how much more each time. Write the values that "
                "are reached, such as 20 N·m, then 40 N·m.",
            )


def _names_a_part(tokens: Sequence[Token], at: int, first: int) -> bool:
    """Tell whether a word is a noun: it stands before a fastener or part, or at the end of a heading.

    The first word of a sentence can be a verb, so it is a noun only where no verb follows it.
    """
    behind = tokens[at + 1 : first]
    leads = at == 0 or tokens[at - 1].kind in {"stop", "then", "hard", "step", "and", "line"}
    has_verb = any(token.kind in {"tighten", "again", "loosen", "turn", "snug"} for token in behind)
    tightens = any(token.kind in {"tighten", "again"} for token in tokens[:first])
    ordered = bool(behind) and behind[-1].kind == "range" and behind[-1].text.isalpha() and not tightens
    if leads and (has_verb or ordered) and not _is_headed(behind):
        return False
    if leads and (ordered or tokens[at].text.lower().startswith(_UNDOING)):
        return False
    if at and tokens[at - 1].kind == "range" and tokens[at - 1].text.isalpha():
        return False  # `tighten to twice 20 N·m`
    near = next((token.kind for token in behind[:_FEW] if token.kind != "unknown"), "")
    if near in _NOUNS:
        return True
    heads = all(
        token.kind in {"unknown", "range", "line", "comma", "stop", "nothing", "slash"} for token in behind
    )
    return heads and at > 0 and any(token.kind in {"fastener", "part", "tighten"} for token in tokens[:at])


_NOUNS = frozenset({"fastener", "part", "callout"})


def _is_headed(behind: Sequence[Token]) -> bool:
    """`Wotsit bolts: 25 N·m`: a fastener and then no verb."""
    return (
        bool(behind) and behind[0].kind in _NOUNS and not any(t.kind in {"tighten", "again"} for t in behind)
    )
