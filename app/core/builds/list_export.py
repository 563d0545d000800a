"""A build as a list: one row for each step, then one for each item in the order of taking off."""

from collections import Counter, defaultdict
from collections.abc import Mapping
from itertools import chain, count

from app.core.builds.snapshot import Entry, Snapshot, StepFacts
from app.core.items.items import Fastener, Finding
from app.core.items.kinds import Kind
from app.core.lists.cells import parted_thread
from app.core.lists.listed import IN, LIST_RELATIONS, new_name
from app.core.lists.notes import parted_note
from app.core.lists.text import COLUMNS, REPLACES, write_line
from app.core.lists.vocabulary import NO_FIGURE

Row = Mapping[str, str]


def export_list(build: Snapshot) -> str:
    """Return the list: reading it into an empty build gives the same steps, items and order.

    It carries its columns and nothing else: no photos, tags, marks or ends.
    """
    names = _step_names(build)
    steps = [_step_row(step, names[step.id]) for step in build.steps]
    edges = _edges(build)
    items = {
        entry.item.id: _item_row(build, entry, edges) | {"step": names.get(entry.item.step, "")}
        for entry in _in_order(build)
    }
    left_out = _made_by_reading(build, items)
    kept = [row for item_id, row in items.items() if item_id not in left_out]
    columns = (*COLUMNS, REPLACES) if any(row[REPLACES] for row in kept) else COLUMNS
    return "".join(
        write_line([row[column] for column in columns])
        for row in ({column: column for column in columns}, *steps, *kept)
    )


def _in_order(build: Snapshot) -> list[Entry]:
    """Return the items in the order of taking off; what is still on comes last, by step."""
    position = {step.id: step.position for step in build.steps}
    return sorted(
        build.items,
        key=lambda e: (
            e.state.off_seq or float("inf"),
            position.get(e.item.step, len(position)),
            e.item.number,
        ),
    )


def _step_names(build: Snapshot) -> dict[str, str]:
    """Return the steps' names by id; a second one of a name is numbered: a list knows a step by its name."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    for step in build.steps:
        numbered = (f"{step.name[:74]} ({n})" for n in count(2))
        name = next(name for name in chain([step.name], numbered) if name.casefold() not in taken)
        names[step.id] = name
        taken.add(name.casefold())
    return names


def _step_row(step: StepFacts, name: str) -> dict[str, str]:
    said = {
        "step": name,
        "height": step.height,
        "people": str(step.people),
        "minutes": str(step.minutes),
        "direction": step.direction,
        "kind": Kind.STEP.value,
    }
    return dict.fromkeys((*COLUMNS, REPLACES), "") | said


def _edges(build: Snapshot) -> Mapping[tuple[str, str], list[str]]:
    found: dict[tuple[str, str], list[str]] = defaultdict(list)
    for edge in build.edges:
        if edge.frm in build.entries and edge.to in build.entries:
            found[edge.frm, edge.rel].append(str(build.entries[edge.to].item.number))
    return found


def _item_row(build: Snapshot, entry: Entry, edges: Mapping[tuple[str, str], list[str]]) -> dict[str, str]:
    item = entry.item
    note, cells = parted_note(item.kind, item.note)
    row = dict.fromkeys(COLUMNS, "") | {
        "id": str(item.number),
        "zone": _zone(build, item.zone),
        "kind": _kind(entry),
        "name": item.name,
        "count": str(item.n or ""),
        "disposition": "undecided" if entry.state.destiny.disagree else entry.state.destiny.value,
        "place": f" {IN} ".join(build.place_path(entry.state.place.value)),
        "note": note,
    }
    row |= {rel: ";".join(sorted(edges.get((item.id, rel), ()), key=int)) for rel in LIST_RELATIONS}
    return row | (_fastener(item.detail) if isinstance(item.detail, Fastener) else {}) | cells


def _fastener(group: Fastener) -> dict[str, str]:
    thread, length = parted_thread(group.thread)
    return {
        "thread": thread,
        "length_mm": length,
        "grade": group.strength,
        "torque": group.torque or (NO_FIGURE if group.no_figure else ""),
        "torque_source": group.torque_source,
        "one_time": "" if group.one_time == "unknown" else group.one_time,
    }


def _kind(entry: Entry) -> str:
    """Return the kind with its type, such as `connection: coolant hose`."""
    item, item_type = entry.item, entry.item.type
    if isinstance(item.detail, Fastener):
        item_type = item.detail.head
    if isinstance(item.detail, Finding) and item.detail.what != item.name:
        item_type = item.detail.what
    return f"{item.kind.value}: {item_type}" if item_type else item.kind.value


def _zone(build: Snapshot, zone_id: str) -> str:
    zone = build.zone.get(zone_id)
    if zone is None:
        return ""
    return f"{zone.label} (below)" if not zone.key and zone.level == "below" else zone.label


def _made_by_reading(build: Snapshot, rows: Mapping[str, Row]) -> set[str]:
    """Return the items that reading the list makes by itself: the new ones of what is `replaced`."""
    touched = Counter(end for edge in build.edges for end in (edge.frm, edge.to))
    renewed = Counter(edge.to for edge in build.edges if edge.rel == REPLACES)
    own = {"id": "", "disposition": "refit", "place": "", "note": "", **dict.fromkeys(LIST_RELATIONS, "")}
    return {
        new
        for new, old in build.replaces.items()
        if new in rows
        and rows.get(old, {}).get("disposition") == "replaced"
        and touched[new] == renewed[old] == 1
        and {**rows[old], **own, "name": new_name(rows[old]["name"])} == {**rows[new], "id": "", REPLACES: ""}
    }
