"""Finding: by code, by number, by a word."""

from flask import Blueprint, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from app.core.problem import Problem
from app.core.sentences import item_title
from app.core.tags import neighbours, read_typed
from app.store.snapshot import Entry, Snapshot
from app.store.tags import issued_codes
from app.web.shop import reading, snapshot

bp = Blueprint("find", __name__)
MOST = 60


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
    number = asked.lstrip("#")
    exact = next((e for e in build.items if number == str(e.item.number)), None)
    if exact:
        return redirect(url_for("cards.show", item_id=exact.item.id))
    found = [e for e in build.items if asked and _has(build, e, asked.casefold().split())]
    return render_template(
        "find/index.html",
        asked=asked,
        found=found[:MOST],
        more=max(0, len(found) - MOST),
        near=neighbours(asked, issued) if asked and not found else (),
        problem=code.message if isinstance(code, Problem) and not found and _looks_like_code(asked) else "",
    )


def _looks_like_code(text: str) -> bool:
    squeezed = text.replace("-", "").replace(" ", "")
    return 6 <= len(squeezed) <= 8 and any(c.isdigit() for c in squeezed)  # noqa: PLR2004 - a code has 7, one may be amiss


def _has(build: Snapshot, entry: Entry, words: list[str]) -> bool:
    item = entry.item
    zone, step = build.zone.get(item.zone), build.step.get(item.step)
    text = " ".join(
        (
            item_title(item),
            item.sort,
            item.note,
            str(getattr(item.detail, "thread", "")),
            zone.label if zone else "",
            step.name if step else "",
            *build.place_path(entry.state.place.value),
        )
    ).casefold()
    return all(word in text for word in words)
