"""A build as a list: one row for each step, then one for each item in the order of taking off."""

from collections import Counter, defaultdict
from collections.abc import Mapping
from itertools import chain, count

from app.core.builds.snapshot import Entry, Snapshot, StepFacts
from app.core.csv_lines import write_line
from app.core.lists import columns
from app.core.lists.columns import GOES_AFTER, REPLACES
from app.core.lists.listed import ListedItem, ListedStep
from app.core.lists.notes import parted_note
from app.core.lists.renewals import new_name
from app.core.lists.written import Ties, item_cells, step_cells

Row = Mapping[str, str]


def export_list(build: Snapshot) -> str:
    """Return the list: reading it into an empty build gives the same steps, items and order.

    It carries its columns and nothing else: no photos, tags, marks or ends.
    """
    names = _step_names(build)
    steps = [step_cells(_listed_step(step, names[step.id])) for step in build.steps]
    ties = _ties(build)
    items = {entry.item.id: _item_row(build, entry, names, ties) for entry in _in_order(build)}
    left_out = _made_by_reading(build, items)
    rows = [*steps, *(row for item_id, row in items.items() if item_id not in left_out)]
    heads = [c.name for c in columns.TABLE.all if c.always or any(row[c.name] for row in rows)]
    return "".join(map(write_line, (heads, *([row[head] for head in heads] for row in rows))))


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


def _listed_step(step: StepFacts, name: str) -> ListedStep:
    return ListedStep(0, name, step.height, step.people, step.minutes, step.direction)


def _ties(build: Snapshot) -> Mapping[str, Ties]:
    """Return what each item is tied to, by relation: the numbers of the others, in order."""
    found: dict[str, dict[str, list[int]]] = defaultdict(lambda: defaultdict(list))
    for edge in build.edges:
        if edge.frm in build.entries and edge.to in build.entries:
            found[edge.frm][edge.rel].append(build.entries[edge.to].item.number)
    for said in build.goes_after:
        if said.item in build.entries and said.after in build.entries:
            found[said.item][GOES_AFTER].append(build.entries[said.after].item.number)
    return {
        item: {rel: tuple(map(str, sorted(numbers))) for rel, numbers in by_rel.items()}
        for item, by_rel in found.items()
    }


def _item_row(build: Snapshot, entry: Entry, names: Mapping[str, str], ties: Mapping[str, Ties]) -> Row:
    item, state = entry.item, entry.state
    note, homeless = parted_note(item.kind, item.note)
    side = build.side_exceptions.get(item.id)
    listed = ListedItem(
        line=0,
        key=str(item.number),
        kind=item.kind,
        name=item.name,
        detail=item.detail,
        step=names.get(item.step, ""),
        zone=_zone(build, item.zone),
        n=item.n,
        place=build.place_path(state.place.value),
        destiny="undecided" if state.destiny.disagree else state.destiny.value,
        note=note,
        owner=item.owner,
        system=item.system,
        because=_because(build, item.id),
        side=side.what if side else "",
        side_because=side.reason if side else "",
    )
    return item_cells(listed, ties.get(item.id, {})) | homeless


def _because(build: Snapshot, item_id: str) -> str:
    """Return why an item goes back after others; several reasons on one line."""
    return "; ".join(dict.fromkeys(said.reason for said in build.goes_after if said.item == item_id))


def _zone(build: Snapshot, zone_id: str) -> str:
    zone = build.zone.get(zone_id)
    if zone is None:
        return ""
    return f"{zone.label} (below)" if not zone.key and zone.level == "below" else zone.label


def _made_by_reading(build: Snapshot, rows: Mapping[str, Row]) -> set[str]:
    """Return the items that reading the list makes by itself: the new ones of what is `replaced`."""
    touched = Counter(end for edge in build.edges for end in (edge.frm, edge.to))
    renewed = Counter(edge.to for edge in build.edges if edge.rel == REPLACES)
    own = {"id": "", "disposition": "refit", "place": "", "note": ""}
    own |= {column.name: "" for column in columns.TABLE.ties}
    return {
        new
        for new, old in build.replaces.items()
        if new in rows
        and rows.get(old, {}).get("disposition") == "replaced"
        and touched[new] == renewed[old] == 1
        and {**rows[old], **own, "name": new_name(rows[old]["name"])} == {**rows[new], "id": "", REPLACES: ""}
    }
