"""The face of a card: its photo with a small plan, its number, code and bag, and what is under its name."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from app.core.builds.snapshot import Entry, Snapshot, ZoneFacts
from app.core.items.items import Fastener, Item
from app.core.wording.items import pieces_text
from app.core.wording.outstanding import joined
from app.store.plan.builds import layout
from app.web.site.wording import in_dialect

_LINES = ("hose", "line", "duct")
_WIRES = ("strap", "cable")


@dataclass(frozen=True, slots=True)
class SmallPlan:
    """The bay's outline with one zone in it, small.

    Args:
        view_box: Of the drawing, in its own unit.
        body: The outline.
        lines: What is drawn in it.
        zone: The zone's shape; empty for a zone that is not on the drawing.
        label: What the zone is called.
        level: Whether it is above or below.
    """

    view_box: str
    body: str
    lines: tuple[str, ...]
    zone: str
    label: str
    level: str


@dataclass(frozen=True, slots=True)
class Face:
    """What stands on a card's face.

    Args:
        photos: The ids of its photos, the first one largest.
        drawing: Which drawing stands where there is no photo.
        plan: Where it is; `None` where it has no zone.
        place: Where it lies, from the bag outward.
        under: What stands under its name: pieces, thread, type, what is on the thread.
    """

    photos: Sequence[str]
    drawing: str
    plan: SmallPlan | None
    place: str
    under: str


def face_of(build: Snapshot, entry: Entry) -> Face:
    """Return what stands on a card's face."""
    item, zone = entry.item, build.zone.get(entry.item.zone)
    return Face(
        build.photos.get(entry.subject, ()),
        drawing_of(item),
        small_plan(build.layout, zone) if zone else None,
        " › ".join(build.place_path(entry.state.place.value)),
        under_name(item),
    )


def drawing_of(item: Item) -> str:
    """Return which drawing stands for a thing without a photo: its kind's, or its sort's of a connection."""
    if item.type.endswith(_LINES):
        return "hose"
    return "strap" if item.type.endswith(_WIRES) else item.kind.value


def under_name(item: Item) -> str:
    """Return what stands under a card's name: pieces, thread, type, and what goes on the thread."""
    group = item.detail if isinstance(item.detail, Fastener) else None
    friction = group.friction if group and group.friction != "not known" else ""
    return joined(
        pieces_text(item),
        str(getattr(item.detail, "thread", "")),
        in_dialect(item.type),
        friction,
        group.threadlock if group else "",
    )


@lru_cache(maxsize=256)
def small_plan(layout_key: str, zone: ZoneFacts) -> SmallPlan:
    """Return the bay's outline with one zone marked; the same for every thing of the zone."""
    drawn: Mapping[str, Any] = layout(layout_key)
    plan = drawn["drawing"][zone.level]
    shapes = {each["key"]: each["shape"] for each in drawn["zones"] if each["level"] == zone.level}
    return SmallPlan(
        plan["view_box"],
        plan["body"],
        tuple(plan["outline"]),
        shapes.get(zone.key, ""),
        zone.label,
        zone.level,
    )
