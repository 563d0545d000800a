"""Finding: by code, by number, by a word."""

from collections.abc import Iterable
from difflib import get_close_matches

from flask import Blueprint, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.items import Item
from app.core.items.numbers import item_of
from app.core.items.roles import Way
from app.core.items.step_names import step_name
from app.core.problem import Problem
from app.core.tags import neighbours, read_typed
from app.core.wording.items import item_title
from app.store.tags import issued_codes
from app.web.site.context import reading, snapshot

bp = Blueprint("find", __name__)
MOST = 60
LEAST_OF_CODE = 3


@bp.get("/b/<int:nr>/find")
def index(nr: int) -> ResponseReturnValue:
    """Answer what was typed: a code goes to its item, a number too, a word lists what has it."""
    asked = request.args.get("q", "").strip()
    with reading() as session:
        build = snapshot(session, nr)
        issued = issued_codes(session) if asked else frozenset()
    code = read_typed(asked) if asked else ""
    if isinstance(code, str) and code in issued:
        return redirect(f"/T/{code}")
    exact = item_of(asked, (e.item for e in build.items)) if asked else None
    if isinstance(exact, Item):
        return redirect(url_for("cards.show", item_id=exact.id))
    texts = {e.item.id: _text(build, e) for e in build.items} if asked else {}
    found = [e for e in build.items if asked and _has(texts[e.item.id], asked.casefold().split())]
    by_code = _by_code(build, asked)
    found = [*by_code, *(e for e in found if e not in by_code)]
    meant = "" if found or not asked else _meant(texts.values(), asked)
    return render_template(
        "places/find/index.html",
        asked=asked,
        found=found[:MOST],
        more=max(0, len(found) - MOST),
        meant=meant,
        near=neighbours(asked, issued) if asked and not found else (),
        problem=code.message if isinstance(code, Problem) and not found and _looks_like_code(asked) else "",
    )


def _looks_like_code(text: str) -> bool:
    squeezed = text.replace("-", "").replace(" ", "")
    return 6 <= len(squeezed) <= 8 and any(c.isdigit() for c in squeezed)  # noqa: PLR2004 - a code has 7, one may be amiss


def _has(text: str, words: list[str]) -> bool:
    return bool(words) and all(word in text for word in words)


def _by_code(build: Snapshot, asked: str) -> list[Entry]:
    """Return the items whose code begins like this, from three signs on: a torn tag says at least so much."""
    begins = asked.replace("-", "").replace(" ", "").upper()
    if len(begins) < LEAST_OF_CODE:
        return []
    return [e for e in build.items if any(c.startswith(begins) for c in build.tags.get(e.subject, ()))]


def _meant(texts: Iterable[str], asked: str) -> str:
    """Return what was typed with each unknown word exchanged for the nearest known one; empty if none is."""
    known = sorted({word.strip(".,:;()") for text in texts for word in text.split()})
    words = [
        word
        if any(word in each for each in known)
        else next(iter(get_close_matches(word, known, 1, 0.7)), "")
        for word in asked.casefold().split()
    ]
    return " ".join(words) if all(words) else ""


def _text(build: Snapshot, entry: Entry) -> str:
    """Return all the words of an item that somebody may look for."""
    item = entry.item
    zone, step = build.zone.get(item.zone), build.step.get(item.step)
    return " ".join(
        (
            item_title(item),
            item.type,
            item.note,
            str(getattr(item.detail, "thread", "")),
            zone.label if zone else "",
            *((step_name(step, way) for way in Way) if step else ()),
            *build.place_path(entry.state.place.value),
        )
    ).casefold()
