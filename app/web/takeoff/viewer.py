"""Looking at photos: one at a time over the whole screen, larger, on to the next one of the same thing."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from flask import Blueprint, abort, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from app.core.wording.items import item_title
from app.web.site.context import asked_way_back, entry_of, reading, snapshot
from app.web.site.wording import in_dialect

bp = Blueprint("viewer", __name__)
ZOOMS = (1, 2, 4)
"""How many times larger than the screen a photo can be shown."""


@dataclass(frozen=True, slots=True)
class Viewed:
    """A photo on the page that shows it large.

    Args:
        photo: Its id.
        name: What it is of.
        nth, of: Which one of how many.
        back: Where its thing is.
        earlier, later: The photos beside it; empty where there is none.
        zoom: How many times larger than the screen it is shown.
        smaller, larger: The same photo at the next size; empty at the last one.
    """

    photo: str
    name: str
    nth: int
    of: int
    back: str
    earlier: str
    later: str
    zoom: int
    smaller: str
    larger: str


@bp.get("/i/<item_id>/photos/<int:n>")
def item(item_id: str, n: int) -> ResponseReturnValue:
    """Show a photo of an item or of a step."""
    with reading() as session:
        build, entry = entry_of(session, item_id)
    number = f"#{entry.item.number} " if entry.item.number else ""
    return _page(
        build.photos.get(entry.subject, ()),
        n,
        f"{number}{in_dialect(item_title(entry.item))}",
        url_for("cards.show", item_id=item_id),
        lambda nth, **more: url_for("viewer.item", item_id=item_id, n=nth, **more),
    )


@bp.get("/b/<int:nr>/zones/<zone_id>/photos/<int:n>")
def zone(nr: int, zone_id: str, n: int) -> ResponseReturnValue:
    """Show a photo of a zone."""
    with reading() as session:
        build = snapshot(session, nr)
    shown = build.zone.get(zone_id) or abort(404)
    return _page(
        build.photos.get(f"zone:{zone_id}", ()),
        n,
        shown.label,
        url_for("ledger.show", nr=nr, zone=zone_id),
        lambda nth, **more: url_for("viewer.zone", nr=nr, zone_id=zone_id, n=nth, **more),
    )


@bp.get("/b/<int:nr>/tray/<int:n>")
def tray(nr: int, n: int) -> ResponseReturnValue:
    """Show a photo in which no tag was read."""
    with reading() as session:
        build = snapshot(session, nr)
    return _page(
        build.tray,
        n,
        "Without a tag",
        url_for("photos.tray", nr=nr),
        lambda nth, **more: url_for("viewer.tray", nr=nr, n=nth, **more),
    )


def _page(photos: Sequence[str], n: int, name: str, back: str, at: Callable[..., str]) -> ResponseReturnValue:
    """Return the page of one of some photos; where there is none, the way to their thing.

    Args:
        photos: The ids of all of them.
        n: Which one, from 1.
        name: What they are of.
        back: Where their thing is, unless the address names another page.
        at: Gives the address of one of them.
    """
    back = asked_way_back(back)
    if not photos:
        return redirect(back)
    if not 0 < n <= len(photos):
        abort(404)
    said = {"back": back} if "back" in request.args else {}
    zoom = request.args.get("zoom", 1, int)
    size = ZOOMS.index(zoom) if zoom in ZOOMS else 0
    return render_template(
        "takeoff/photos/viewer.html",
        viewed=Viewed(
            photos[n - 1],
            name,
            n,
            len(photos),
            back,
            earlier=at(n - 1, **said) if n > 1 else "",
            later=at(n + 1, **said) if n < len(photos) else "",
            zoom=ZOOMS[size],
            smaller=at(n, **said, zoom=ZOOMS[size - 1]) if size else "",
            larger=at(n, **said, zoom=ZOOMS[size + 1]) if size + 1 < len(ZOOMS) else "",
        ),
    )
