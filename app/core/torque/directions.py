"""Which way a printed turn or torque goes: direction comes first; without a sure one it is refused."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.core.torque.lexicon import AGAIN_ADVERBS
from app.core.torque.names import VARIANT_OF
from app.core.torque.refusals import UnreadableError
from app.core.torque.tokens import Token
from app.core.torque.warnings import names_a_zero

_WAYS = frozenset({"tighten", "turn", "further", "loosen", "back", "again"})
_TURNS_OR_BACK = frozenset({"angle", "loosen", "back", "los", "turn"})
_PARTS = frozenset({"hard", "then", "plus", "step", "stop", "line"})
_LONGEST_SPLIT = 6
_NOUN_BEFORE = frozenset(
    {"a", "the", "of", "with", "final", "specified", "this", "that", "required", "un", "o", "le"}
)


_TURNED_WORDS = """
    engine motor crank crankshaft camshaft flywheel hub wheel wheels shaft drum rotor pinion bearing axle
    kurbelwelle nockenwelle rad radnabe nabe welle schwungrad moteur vilebrequin roue moyeu arbre
    cigüeñal rueda buje albero ruota mozzo krukas wiel naaf virabrequim cambota roda cubo vevaxel hjul nav
"""
_TURNED = frozenset(_TURNED_WORDS.split())


@dataclass(frozen=True, slots=True)
class _Scope:
    """The words of direction around one value; the nearest first."""

    before: tuple[int, ...]
    behind: tuple[int, ...]
    has_comma: bool


def with_directions(tokens: Sequence[Token]) -> list[Token]:
    """Return the pieces with each turn backward as `turn_back`, its words of loosening taken up.

    Raises:
        UnreadableError: A direction is missing, contradicts itself or belongs to no value.
    """
    if _TURNS_OR_BACK.isdisjoint(token.kind for token in tokens):
        return list(tokens)
    _refuse_turning_another(tokens)
    found = _joined(list(tokens))
    _refuse_a_sign(found)
    for at, token in enumerate(found):
        if token.kind == "angle" and not (token.inside and _has_value_before(found, at)):
            _direct_turn(found, at)
        elif token.kind == "torque" and not token.inside:
            _refuse_loosening_to(found, at)
    _refuse_an_open_turn(found)
    left = next((token for token in found if token.kind == "back"), None) or _side_of_a_turn(found)
    if left:
        raise UnreadableError(
            "direction",
            f"“{left.text}” turns back, but what it turns was not read. Write “loosen” and how far.",
        )
    return found


def _refuse_turning_another(tokens: Sequence[Token]) -> None:
    """`rotate the crankshaft 360°` turns no bolt.

    Raises:
        UnreadableError: A turn is that of the engine, a shaft or a wheel.
    """
    for at, token in enumerate(tokens):
        if token.kind != "turn":
            continue
        behind = [each for each in tokens[at + 1 : at + 6] if each.kind != "small"][:3]
        before = [each for each in tokens[max(0, at - 3) : at] if each.kind != "small"][-2:]
        other = ""
        is_of_bolts = [each.kind for each in behind[1:2]] == ["fastener"]
        if behind and behind[0].text.lower() in _TURNED and not is_of_bolts:
            far = [each.kind for each in behind[1:] if each.kind in _VALUES][:1]
            other = behind[0].text if far == ["angle"] else ""
        elif [each.kind for each in before[1:]] == ["angle"] and before[0].text.lower() in _TURNED:
            other = before[0].text
        if other:
            raise UnreadableError(
                "turns-another",
                f"“{token.text}” speaks of “{other}”, and of no bolt. Leave it out, or keep the print as a "
                "note and write the tightening alone.",
            )


def _refuse_an_open_turn(tokens: Sequence[Token]) -> None:
    """`20 N·m + turn` says no angle.

    Raises:
        UnreadableError: A turn stands behind the last value and before none.
    """
    last = max((at for at, token in enumerate(tokens) if token.kind in _VALUES), default=len(tokens))
    for at in range(last + 1, len(tokens)):
        if (
            any(token.kind == "while" or token.kind in _PARTS for token in tokens[last:at])
            and tokens[at].text != "+"
        ):
            parted = any(token.kind in {"while", "stop", "line"} for token in tokens[last:at])
            if parted:
                return
        if tokens[at].kind == "turn" and tokens[last].kind == "torque":
            raise UnreadableError(
                "turn-unread", f"How far to turn was not read: stopped at “{tokens[at].text}”. Write degrees."
            )


_VALUES = frozenset({"torque", "angle", "turn_back"})


def _side_of_a_turn(tokens: Sequence[Token]) -> Token | None:
    """`turn left 90°` depends on where one stands."""
    turned = any(token.kind == "angle" for token in tokens)
    for at, token in enumerate(tokens):
        if turned and token.kind == "variant" and VARIANT_OF.get(token.text.lower(), ("", ""))[0] == "hand":
            near = {each.kind for each in (*tokens[max(0, at - 1) : at], *tokens[at + 1 : at + 2])}
            if near & {"turn", "angle", "tighten"}:
                return token
    return None


def _has_value_before(tokens: Sequence[Token], at: int) -> bool:
    return any(token.kind in {"torque", "angle", "turn_back"} for token in tokens[:at])


def _joined(tokens: list[Token]) -> list[Token]:
    """Join split verbs: `back the nut off`, `ease it off`; tell the noun torque from the verb."""
    for at, token in enumerate(tokens):
        lower = token.text.lower()
        if lower in {"back", "back-off", "backed"} or token.kind == "loosen":
            for place in range(at + 1, min(at + 1 + _LONGEST_SPLIT, len(tokens))):
                if tokens[place].kind in _PARTS | {"torque", "angle", "comma"}:
                    break
                if tokens[place].text.lower() == "off":
                    tokens[at] = token._replace(kind="loosen")
                    tokens[place] = tokens[place]._replace(kind="small")
                    break
        elif (lower == "torque" and at and tokens[at - 1].text.lower() in _NOUN_BEFORE) or (
            lower == "los" and at + 1 < len(tokens) and tokens[at + 1].kind not in _PARTS | {"comma", "and"}
        ):
            tokens[at] = token._replace(kind="small")
        elif lower in {"los", "retour"}:
            tokens[at] = token._replace(kind="back")
    return tokens


def _refuse_a_sign(tokens: Sequence[Token]) -> None:
    for at, token in enumerate(tokens):
        if token.kind != "angle":
            continue
        before = tokens[at - 1] if at else None
        dashed = (
            before is not None
            and before.kind == "range"
            and before.text in {"-", "−", "–", "—", "‐", "‑", "‒"}
        )
        alone = at < 2 or tokens[at - 2].kind in {"torque", "angle", "hard", "comma", "small", "stop"}  # noqa: PLR2004
        if token.signed or (dashed and alone):
            raise UnreadableError(
                "angle-sign",
                f"“-{token.text}” can be a minus or a dash. Write “loosen {token.text}” to turn back, "
                f"“+ {token.text}” to turn on.",
            )


def _scope(tokens: Sequence[Token], at: int) -> _Scope:
    before: list[int] = []
    has_comma = False
    for place in range(at - 1, -1, -1):
        token = tokens[place]
        if token.kind in {"torque", "angle", "turn_back"} or token.kind in _PARTS or token.text == "+":
            break
        if not before:
            has_comma |= token.kind == "comma"
        if _is_a_way(token):
            before.append(place)
    behind: list[int] = []
    for place in range(at + 1, len(tokens)):
        token = tokens[place]
        if token.inside and not tokens[at].inside:
            continue
        if token.kind in {"torque", "angle", "comma", "and", "while"} or token.kind in _PARTS:
            break
        if _is_a_way(token):
            behind.append(place)
    return _Scope(tuple(before), tuple(behind), has_comma)


def _is_a_way(token: Token) -> bool:
    """An adverb such as `wieder` says no direction; `nachziehen` does."""
    return token.kind in _WAYS and token.text.lower() not in AGAIN_ADVERBS


def _direct_turn(tokens: list[Token], at: int) -> None:
    scope = _scope(tokens, at)
    kinds_before = [tokens[place].kind for place in scope.before]
    kinds_behind = [tokens[place].kind for place in scope.behind]
    undoing = {"loosen", "back"}
    near = [tokens[place].kind for place in scope.before if not _is_apart(tokens, place, at)]
    if undoing & set(kinds_behind):
        if {"tighten", "further", "again"} & {*near, *kinds_behind}:
            raise _contradiction(tokens[at])
        _take(
            tokens,
            at,
            [*scope.behind, *(place for place in scope.before if not _is_apart(tokens, place, at))],
        )
        return
    first = next((n for n, kind in enumerate(kinds_before) if kind in undoing), None)
    if first is None:
        return
    nearer = kinds_before[:first]
    if {"tighten", "again"} & set(nearer):
        return
    joined = nearer and any(token.kind == "and" for token in tokens[scope.before[first] : at])
    if {"tighten", "again", "further"} & set(kinds_behind) or joined or scope.has_comma:
        raise _contradiction(tokens[at])
    _take(tokens, at, list(scope.before[: first + 1]))


def _is_apart(tokens: Sequence[Token], first: int, last: int) -> bool:
    return any(token.kind in {"comma", "and"} for token in tokens[first:last])


def _take(tokens: list[Token], at: int, words: Sequence[int]) -> None:
    tokens[at] = tokens[at]._replace(kind="turn_back")
    for place in words:
        if tokens[place].kind in {"loosen", "back"}:
            tokens[place] = tokens[place]._replace(kind="small")


def _contradiction(token: Token) -> UnreadableError:
    return UnreadableError(
        "direction",
        f"Is “{token.text}” tightened or loosened? Both are said. Write one thing after the other.",
    )


def _refuse_loosening_to(tokens: list[Token], at: int) -> None:
    """`loosen to 30 N·m` is no tightening; `loosen and tighten to 30 N·m` is two things.

    Raises:
        UnreadableError: The torque belongs to a word of loosening.
    """
    if names_a_zero(tokens[at]):
        return
    scope = _scope(tokens, at)
    undoing = {"loosen", "back"}
    behind = {tokens[place].kind for place in scope.behind}
    nearest = tokens[scope.before[0]].kind if scope.before else ""
    tightened = bool({"tighten", "again"} & behind) and not undoing & behind
    if undoing & behind or (nearest in undoing and not (scope.has_comma or tightened)):
        raise UnreadableError(
            "loosen-to",
            f"“{tokens[at].text.strip()}” belongs to a word of loosening: a bolt is not loosened to a "
            "torque. Write “loosen” with how far, and the torque after “then”.",
        )
