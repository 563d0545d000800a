"""Lines of one item, short to write, and what three phones write that see each other now and then."""

from collections.abc import Iterable
from typing import Any

from hypothesis import strategies as st

from app.core.items.journal import History, Line
from app.core.items.kinds import Act

SUBJECT = "item:1"


def say(
    line_id: str, verb: str, body: dict[str, Any], *, after: Iterable[str] = (), person: str = "Ada"
) -> Line:
    return Line(line_id, SUBJECT, verb, body, frozenset(after), person)


def mark(
    line_id: str, act: Act, *, after: Iterable[str] = (), person: str = "Ada", verb: str = "mark", **body: Any
) -> Line:
    return say(line_id, verb, {"act": act.value, **body}, after=after, person=person)


def undo(line_id: str, names: str, *, after: Iterable[str] = ()) -> Line:
    return say(line_id, "undo", {"line": names}, after=after)


_BODIES: list[st.SearchStrategy[tuple[str, Any]]] = [
    st.tuples(st.just("mark"), st.sampled_from([Act.OFF, Act.HAND_TIGHT, Act.TIGHT, Act.CHECKED])),
    st.tuples(st.just("count"), st.sampled_from(["", "renewed", "lost"])),
    st.tuples(st.just("dispose"), st.sampled_from(["refit", "undecided", "left_out"])),
    st.tuples(st.just("undo"), st.integers(0, 30)),
    st.tuples(st.just("meet"), st.none()),
]


@st.composite
def three_phones(draw: st.DrawFn, most: int = 14) -> list[Line]:
    """Lines about four bolts; a phone names what it has seen, which others wrote too once it meets them."""
    written: list[Line] = []
    seen: dict[int, list[Line]] = {0: [], 1: [], 2: []}
    for phone, (verb, what) in draw(
        st.lists(st.tuples(st.integers(0, 2), st.one_of(_BODIES)), max_size=most)
    ):
        if verb == "meet":
            seen[phone] = list(written)
            continue
        body: dict[str, Any]
        match verb:
            case "mark":
                body = {"act": what.value, "reached": draw(st.sampled_from(["", "25 N·m"]))}
            case "count":
                body = {"piece": what}
            case "dispose":
                body = {"destiny": what}
            case _ if written:
                body = {"line": written[what % len(written)].id}
            case _:
                continue
        if verb in {"mark", "count"} and (some := draw(st.lists(st.integers(1, 4), max_size=3))):
            body["pos"] = some
        line_id = f"{draw(st.integers(0, 255)):02x}{len(written):030x}"
        line = say(line_id, verb, body, after=History(seen[phone]).tips(), person=f"P{phone}")
        written.append(line)
        seen[phone].append(line)
    return written
