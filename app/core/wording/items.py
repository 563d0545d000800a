"""Acts, states and reasons as a person reads them: the ledger in words. The order: `order_sentences`."""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from types import MappingProxyType

from app.core.items.bodies.things import Treat
from app.core.items.items import Item
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.ledger.ledger import Reason
from app.core.tightening.stages import Rung
from app.core.wording.destinies import DESTINY_TEXT, DISPOSITION_TEXT

KIND_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "connection": "Connection",
        "fastener": "Fastener group",
        "part": "Part",
        "locator": "Locator",
        "temporary": "Temporary",
        "fluid": "Fluid",
        "finding": "Finding",
        "step": "Step",
    },
)
KIND_HINTS: Mapping[str, str] = MappingProxyType(
    {
        "connection": "plug, hose, strap, line",
        "fastener": "alike bolts, one place",
        "part": "something to store",
        "locator": "dowel, shim, clip",
        "temporary": "cap, rag, prop",
        "fluid": "drained, to be filled",
        "finding": "something is wrong",
    },
)
_ACTS: Mapping[Act, str] = MappingProxyType(
    {
        Act.OFF: "off",
        Act.LOOSENED: "loosened",
        Act.ASIDE: "aside",
        Act.ALREADY_OFF: "already off when found",
        Act.UNUSED: "unused",
        Act.PLACED: "in position",
        Act.HAND_TIGHT: "hand-tight",
        Act.STAGE: "between stages, not final",
        Act.TIGHT: "tight",
        Act.SEATED: "seated",
        Act.LATCHED: "latched",
        Act.ROUTED: "routed",
        Act.COUNTED_IN: "counted in",
        Act.FITTED: "in, must come out",
        Act.OUT: "out",
        Act.DRAINED: "drained",
        Act.FILLED: "filled",
        Act.BLED: "bled",
        Act.RAISED: "found",
        Act.DECIDED: "decided",
        Act.DONE: "done",
        Act.CHECKED: "second look taken",
    },
)
_BY_TYPE: Mapping[str, Mapping[Act, str]] = MappingProxyType(
    {
        "hose": {Act.SEATED: "on its stub", Act.LATCHED: "clamped", Act.ROUTED: "routed clear"},
        "line": {Act.SEATED: "joined", Act.LATCHED: "clip shut, tugged", Act.ROUTED: "routed clear"},
        "strap": {Act.SEATED: "on its stud", Act.LATCHED: "nut tight", Act.ROUTED: "clear of heat"},
        "battery cable": {Act.SEATED: "on its post", Act.LATCHED: "clamp tight", Act.ROUTED: "routed clear"},
        "cable": {Act.SEATED: "hooked on", Act.LATCHED: "held and set", Act.ROUTED: "routed, moves free"},
        "duct": {Act.SEATED: "on its stub", Act.LATCHED: "clamped", Act.ROUTED: "routed clear"},
        "linkage": {Act.SEATED: "marks in line", Act.LATCHED: "held", Act.ROUTED: "moves free"},
        "shaft": {Act.SEATED: "marks in line", Act.LATCHED: "held", Act.ROUTED: "turns free"},
    },
)
_REASONS: Mapping[str, str] = MappingProxyType(
    {
        "line-missing": "a line from a phone has not come yet",
        "disagree": "two people say different things",
        "undecided": "undecided: what becomes of it?",
        "fate-unsaid": DISPOSITION_TEXT["fate_unsaid"],
        "no-successor": "replaced: which one is the new one? Nothing is named in its place",
        "piece-lost": "a piece is lost",
        "one-time-old": "used once only: fit a new one",
        "old-as-tool": "the old one is in to pull only: fit a new one",
        "length-wrong": "a bolt of the wrong length is in",
        "no-figure": "tight, but no figure: say what it reached, or by feel",
        "reading-changed": "its torque is read differently now: compare it with the print",
        "out-of-band": "the value reached does not fit what is printed",
        "second-look": "waits for a second look",
        "halves-unread": "the code on its other half was not read",
        "own-look": "the second look was by the doer: it does not count",
        "not-done": "not done yet",
        "fill-short": "filled much less than was drained: is that right?",
        "in-place-while-away": "marked in place, but it is away",
        "left-in": "a cap or rag is still in under it",
        "out-after-closed": "a cap or rag came out only after it was on",
        "unsealed": "it is on, its gasket is not",
        "sealed-after": "its gasket was marked after it was on",
        "tight-without-part": "tight, but what it holds is not in",
        "tight-before-part": "marked tight before what it holds was in",
        "joined-while-out": "marked joined, but its engine is out",
        "on-while-out": "never marked off, but its engine is out",
        "unrecorded": "never marked, and the engine was out: is it joined?",
        "filled-open": "filled, but the system is open",
        "closed-after-filled": "filled before the system was closed",
        "primed-dry": "primed, but no oil is in",
        "primed-before-filled": "primed before oil was in",
        "amount-low": "much less went in than belongs in",
        "amount-high": "much more went in than belongs in",
        "renewed-after-tight": "renewed after it was tight: tighten again",
        "looked-before-it-rose": "double-check it again: the engine was out since",
        "checked-before-work": "double-checked before the last tightening",
    },
)


def act_text(item: Item, act: Act | str) -> str:
    """Return what an act is called for this item, such as `clamped` for a hose that is latched."""
    return _act_text(item.type, Act(act))


@lru_cache(maxsize=2048)
def _act_text(item_type: str, act: Act) -> str:
    ending = next((words for end, words in _BY_TYPE.items() if item_type.endswith(end)), {})
    return ending.get(act, _ACTS[act])


def rung_text(item: Item, rung: Rung) -> str:
    """Return what the button of a rung says, such as `stage 2 of 3: 60 N·m`."""
    stage = rung.stage
    if rung.act is Act.TIGHT:
        return f"final stage: {stage.words}, striped" if stage and stage.of > 1 else "tight, striped"
    return f"stage {stage.number} of {stage.of}: {stage.words}" if stage else act_text(item, rung.act)


_VERBS: Mapping[str, str] = MappingProxyType(
    {
        "add": "written down",
        "edit": "described",
        "count": "pieces",
        "undo": "took a line back",
        "dispose": "decided what becomes of it",
        "fate": "what becomes of the old one",
        "move": "put away",
        "pass": "passed",
        "settle": "settled",
        "acknowledge": "compared the torque with the print",
        "confirm": "confirmed the reading of the torque",
    },
)


def verb_text(verb: str) -> str:
    """Return what a line does whose body says no act."""
    return _VERBS.get(verb, verb)


_PIECES: Mapping[str, str] = MappingProxyType(
    {"renewed": "new", "spare": "spare", "lost": "lost", "tool": "old one as a tool", "": "as before"},
)


def line_text(line: Line, item: Item) -> str:
    """Return what a line of the journal says about an item, short."""
    body = line.record
    said = [act_text(item, body.act)] if body.act else []
    if body.stage and body.act is Act.STAGE:
        said = [f"stage {body.stage} done"]
    if body.piece is not None:
        said.append(_PIECES.get(body.piece, ""))
    if body.litres is not None:
        said.append(f"{body.litres:g} l {body.of}".strip())
    if body.amounts == "right":
        said.append("the amounts are right")
    if body.lengths is not None:
        said.append(f"lengths in their holes: {body.lengths}")
    other = body.said if isinstance(body, Treat) else ""
    return ", ".join(filter(None, said)) or other or verb_text(line.verb)


_STATES: Mapping[str, str] = MappingProxyType(
    {**DESTINY_TEXT, "on": "still on", "disagree": "two people disagree"},
)


def state_text(item: Item, word: str) -> str:
    """Return the state's word for a list: an act's, or that of a destiny."""
    if item.kind is Kind.STEP and word == "on":
        return _REASONS["not-done"]
    return _STATES.get(word) or act_text(item, word)


def reason_text(item: Item, reason: Reason) -> str:
    """Return a reason as a short sentence; a group names the positions, where not all of them are meant."""
    said = _REASONS.get(reason.code) or act_text(item, reason.code.replace("-", "_"))
    some = 0 < len(reason.positions) < item.positions
    return f"{said} ({_list_numbers(reason.positions)} of {item.positions})" if some else said


def open_text(item: Item, reasons: Iterable[Reason], word: str) -> str:
    """Return why a line is open, without what its state already says."""
    said = (reason_text(item, reason) for reason in reasons)
    return " · ".join(each for each in said if each != state_text(item, word))


def numbered(item: Item) -> str:
    """Return an item's number and title; a step has no number."""
    return f"#{item.number} {item_title(item)}" if item.number else item_title(item)


def _list_numbers(numbers: Iterable[int]) -> str:
    return ", ".join(f"no. {n}" for n in numbers)


def item_title(item: Item) -> str:
    """Return an item's name, or what stands in for it until somebody describes it."""
    return item.name or f"{KIND_WORDS[item.kind]}, not described yet"


def pieces_text(item: Item) -> str:
    """Return how many pieces an item has, or nothing where that says nothing."""
    if item.kind is Kind.FASTENER and not item.n:
        return "not counted"
    if item.kind is Kind.FASTENER and item.n == 1:
        return "1 piece"
    return f"{item.n} pieces" if item.n and item.n > 1 else ""
