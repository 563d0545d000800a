"""The pieces of a printed torque: values, angles, numbers of other things, and what each word does."""

import re
from collections.abc import Sequence

from app.core.torque.names import VARIANT_OF
from app.core.torque.scan import (
    LEADS,
    LETTERS,
    Token,
    scan,
    spelled,
)
from app.core.torque.turns import TURNS, turn_in_text

__all__ = ["Token", "is_list_label", "spelled", "tokens_of"]
_MOST_STAGES = 12


def tokens_of(text: str) -> list[Token]:
    """Return the pieces of a printed torque; brackets that hold no value, no word that matters are callouts.

    Args:
        text: The text as `spelled` returns it.
    """
    tokens = scan(text)
    kinds = {token.kind for token in tokens}
    if not kinds.isdisjoint(_BRACKETS):
        tokens = _without_brackets(tokens)
    if not kinds.isdisjoint(_TURNING):
        tokens = _with_turns(tokens)
    if not kinds.isdisjoint(_RENEWING):
        tokens = _with_new(tokens)
    if kinds.isdisjoint(_UNSETTLED):
        return tokens
    return [_settled(tokens, at) if token.kind in _UNSETTLED else token for at, token in enumerate(tokens)]


_BRACKETS = frozenset({"open", "close"})
_RENEWING = frozenset({"variant", "small"})
_UNSETTLED = frozenset({"label", "after", "unknown"})


_RUN = re.compile(r"km|mile|hour|hrs?\b|week|start", re.IGNORECASE)


def _settled(tokens: list[Token], at: int) -> Token:
    """A number before a stage is its label; `after 500 km` is later; a letter alone names nothing."""
    token = tokens[at]
    if token.kind == "label":
        leads = not at or tokens[at - 1].kind in LEADS or tokens[at - 1].kind == "step"
        return token._replace(kind="step") if leads and is_list_label(tokens, at) else token
    if token.kind == "after":
        later = at + 1 < len(tokens) and _RUN.search(tokens[at + 1].text)
        return token._replace(kind="later" if later else "small")
    if token.kind == "unknown" and len(token.text) == 1:
        return token._replace(kind="small")
    return token


_SAID = frozenset({
    "least", "most", "new", "variant", "unknown", "felt", "not", "if", "or", "run_on", "loosen", "back",
    "example", "measured", "minus", "later", "exceed", "approx", "fastener", "further",
    "tighten", "turn", "again",
    "part", "small", "noted",
})  # fmt: skip
"""What is kept of a bracket without a value."""


def _without_brackets(tokens: list[Token]) -> list[Token]:
    kept: list[Token] = []
    opened: int | None = None
    for token in tokens:
        if token.kind == "open":
            opened = len(kept)
            kept.append(token)
        elif token.kind == "close":
            _close(kept, opened, token)
            opened = None
        else:
            kept.append(token if opened is None else _inside(token))
    return [token for token in kept if token.kind != "open"]


def _inside(token: Token) -> Token:
    """A semicolon in brackets parts columns, not stages."""
    return token._replace(inside=True, kind="comma" if token.text == ";" else token.kind)


def _close(kept: list[Token], opened: int | None, token: Token) -> None:
    """Make a callout of a bracket without a value; `1)` without an opening bracket is a label."""
    if opened is None:
        if kept and kept[-1].kind == "number":
            kept[-1] = kept[-1]._replace(kind="step")
        return
    held = kept[opened + 1 :]
    named = opened > 0 and kept[opened - 1].kind in {"fastener", "part", "variant", "unknown", "callout"}
    if len(held) == 1 and not named and (held[0].kind == "number" or LETTERS.match(held[0].text)):
        kept[opened:] = [held[0]._replace(kind="step", inside=False)]
        return
    if any(each.kind in {"torque", "angle", "unit", "turns"} or each.text.lower() in TURNS for each in held):
        return
    if any(each.kind in {"number", "label", "nothing"} for each in held):
        said = {"new", "not", "if", "run_on", "felt", "variant", "loosen", "back", "example", "unknown"}
        callout = Token("callout", " ".join(each.text for each in held), token.at, inside=True)
        kept[opened:] = [*(each for each in held if each.kind in said), callout]
    else:
        kept[opened:] = [each for each in held if each.kind in _SAID]


def _with_turns(tokens: list[Token]) -> list[Token]:
    """Make angles of turns in words: `one twelfth of a turn`, `two further turns of 90°`."""
    kept: list[Token] = []
    for token in tokens:
        if token.kind not in _TURNING:
            kept.append(token)
            continue
        lower = token.text.lower()
        if token.kind == "angle" and len(kept) > 1 and kept[-1].text.lower() in {"of", "de", "d"}:
            turns = kept[-2]
            if turns.kind == "angle" and turns.text.endswith("turn°"):
                times = int(turns.text.split()[0]) // 360
                kept[-2:] = [token._replace(text=f"{times} x {token.text}")]
                continue
        _take_turn(kept, token, lower)
    return [t._replace(text=t.text.replace(" turn°", "°")) if t.kind == "angle" else t for t in kept]


_TURNING = frozenset({"turns", "turn", "variant", "unknown", "angle"})


_WORDS_OF_A_TURN = 7


def _take_turn(kept: list[Token], token: Token, lower: str) -> None:
    is_flat = lower in {"flat", "flats"}
    if not is_flat and token.kind != "turns" and lower not in TURNS:
        kept.append(token)
        return
    before: list[str] = []
    for each in reversed(kept[-_WORDS_OF_A_TURN:]):
        if each.kind in {"torque", "angle", "number", "comma", "stop", "line", "hard", "step"}:
            break
        before.insert(0, each.text.lower())
    read = turn_in_text([*before, "turn" if is_flat else lower])
    if read is None:
        kept.append(token if token.kind != "unknown" else token._replace(kind="turns"))
        return
    words, degrees = read
    degrees = degrees / 6 if is_flat else degrees
    first = kept[len(kept) - words + 1] if words > 1 else token
    del kept[len(kept) - words + 1 :]
    mark = " turn°" if degrees % 360 == 0 else "°"
    kept.append(Token("angle", f"{degrees.normalize():f}{mark}", first.at, token.inside))


_RENEW_WORDS = """
    replace renew ersetzen erneuern remplacer sustituir reemplazar sostituire vervangen substituir
    trocar byt
"""
_RENEW = frozenset(_RENEW_WORDS.split())


def _with_new(tokens: list[Token]) -> list[Token]:
    """`new bolts`, `vis neuves`, `replace the bolts` ask for new ones; a new washer does not."""
    for at, token in enumerate(tokens):
        if token.kind not in {"variant", "small"}:
            continue
        lower = token.text.lower()
        if lower in _RENEW:
            near = tokens[at + 1 : at + 3]
            is_new = "fastener" in {each.kind for each in near} or _kind_at(tokens, at - 1) == "fastener"
        elif token.kind == "variant" and VARIANT_OF.get(lower) == ("age", "new"):
            near = tokens[at + 1 : at + 3]
            behind = bool(near) and (near[0].kind == "fastener" or _names_behind(near))
            is_new = behind or (at > 0 and tokens[at - 1].kind == "fastener")
        else:
            continue
        if is_new:
            tokens[at] = token._replace(kind="new")
    return tokens


def _names_behind(near: Sequence[Token]) -> bool:
    return len(near) > 1 and near[0].kind in {"part", "small", "variant"} and near[1].kind == "fastener"


def is_list_label(tokens: Sequence[Token], index: int) -> bool:
    """Whether a label such as `1.` or `2:` numbers a stage; `25.` at the end of a sentence does not."""
    if not tokens[index].text.endswith("."):
        return True
    before = tokens[index - 1].kind if index else "hard"
    small = int(tokens[index].text.rstrip(" .")) <= _MOST_STAGES
    leads = before in LEADS
    return small and leads and _kind_at(tokens, index + 1) != "hard"


def _kind_at(tokens: Sequence[Token], index: int) -> str:
    return tokens[index].kind if 0 <= index < len(tokens) else ""
