"""What lines say of builds, steps, items and places, put into rows."""

from collections.abc import Iterable

from app.core.items.bodies.plan import AddPlace, BuildFields, EditBuild, EditStep, StepFields
from app.core.items.bodies.things import AddItem, EditItem, ItemFields
from app.store.plan.builds import BUILD_FIELDS, STEP_FIELDS, ZONE_FIELDS
from app.store.plan.items import ITEM_FIELDS
from app.store.rebuilding.tables import Row, Tables, Told, put, said_of, without


def tell_build(tables: Tables, told: Told, said: BuildFields) -> None:
    """Put what is said of a build, and of its zones and steps, into rows."""
    put(tables.build, told.id, {"id": told.id, "swap": {}}, said_of(said, BUILD_FIELDS))
    for zone in said.zones:
        put(tables.zone, zone.id, {"build_id": told.id}, said_of(zone, ZONE_FIELDS))
    for step in said.steps:
        _put_step(tables, step.id, told.id, step)
    for before, after, reason in said.step_edges:
        _put_step_edge(tables, before, after, told.id, reason)
    if isinstance(said, EditBuild):
        _put_in_order(tables, said.order or ())


def tell_step(tables: Tables, told: Told, said: StepFields) -> None:
    """Put what is said of a step into its row, or take it out with all that names it."""
    if isinstance(said, EditStep) and said.deleted is not None:
        tables.step.pop(told.id, None)
        for column in ("before_step", "after_step"):
            without(tables.step_edge, column, told.id)
        without(tables.install_exception, "step_id", told.id)
        _give_step(tables, said.items or (), None)
        return
    _put_step(tables, told.id, told.build_id, said)
    if not isinstance(said, EditStep):
        return
    if said.predecessors is not None:
        without(tables.step_edge, "after_step", told.id)
        for before, reason in said.predecessors:
            _put_step_edge(tables, before, told.id, told.build_id, reason)
    _put_in_order(tables, said.order or ())
    for before, after, reason in said.orders or ():
        _put_step_edge(tables, before, after, told.build_id, reason)
    for item, what, nth, reason in said.exceptions or ():
        row: Row = {"item_id": item, "what": what, "step_id": told.id, "nth": nth, "reason": reason}
        tables.install_exception[item, what] = row
    _give_step(tables, said.items or (), told.id)


def _give_step(tables: Tables, items: Iterable[str], step_id: str | None) -> None:
    """Give things their step, as where one is deleted or comes back."""
    for item in items:
        if item in tables.item:
            row = tables.item[item]
            tables.item[item] = row | {"step_id": step_id, "rev": row["rev"] + 1}


def _put_step(tables: Tables, step_id: str, build_id: str, said: StepFields) -> None:
    values = said_of(said, STEP_FIELDS)
    if "cautions" in values:
        values["cautions"] = list(values["cautions"])
    fresh = {"id": step_id, "build_id": build_id, "cautions": [], "shares_zone": False, "rev": 1}
    fresh |= {"role": "", "name_back": "", "instruction": "", "instruction_back": "", "for_helper": True}
    put(tables.step, step_id, fresh, values)


def _put_step_edge(tables: Tables, before: str, after: str, build_id: str, reason: str) -> None:
    row = {"before_step": before, "after_step": after, "build_id": build_id, "reason": reason}
    tables.step_edge[before, after] = row


def _put_in_order(tables: Tables, order: Iterable[str]) -> None:
    for position, step_id in enumerate(order):
        if step_id in tables.step:
            tables.step[step_id]["position"] = position


def tell_item(tables: Tables, told: Told, said: ItemFields) -> None:
    """Put what is said of an item, its edges and its exceptions into rows."""
    values = said_of(said, ITEM_FIELDS, step="step_id", zone="zone_id")
    for column in ("step_id", "zone_id"):
        if column in values:
            values[column] = values[column] or None
    fresh = {"id": told.id, "build_id": told.build_id, "was_critical": False, "critical_as": ""}
    ever = {"was_critical": True} if said.critical else {}
    put(tables.item, told.id, fresh | {"system": "", "listed_as": ""}, values | ever)
    row = tables.item[told.id]
    if said.critical and not row["critical_as"]:
        row["critical_as"] = row["kind"]
    for rel, targets in (said.edges or {}).items():
        _lead(tables, told.id, rel, targets)
    if isinstance(said, AddItem) and said.found_on:
        _lead(tables, told.id, "found_on", (said.found_on,))
    if isinstance(said, EditItem):
        _tell_relations(tables, told.id, said)


def _lead(tables: Tables, item_id: str, rel: str, targets: Iterable[str]) -> None:
    """Make an item's edges of one sort be exactly these; those that are there already keep their place."""
    wanted = list(targets)
    for key in [key for key in tables.edge if key[:2] == (item_id, rel) and key[2] not in wanted]:
        del tables.edge[key]
    for target in wanted:
        tables.edge.setdefault((item_id, rel, target), {"from_item": item_id, "rel": rel, "to_item": target})


def _tell_relations(tables: Tables, item_id: str, said: EditItem) -> None:
    if said.moves_to is not None:
        _lead(tables, item_id, "moves_to", said.moves_to)
    if said.replaced_by is not None:
        news = said.replaced_by
        gone = [k for k in tables.edge if k[1:] == ("replaces", item_id) and k[0] not in news]
        for key in gone:
            del tables.edge[key]
        for new in news:
            row = {"from_item": new, "rel": "replaces", "to_item": item_id}
            tables.edge.setdefault((new, "replaces", item_id), row)
    _tell_sequence(tables, item_id, said)
    if said.exceptions is not None:
        without(tables.install_exception, "item_id", item_id)
        for what, step, nth, reason in said.exceptions:
            stated: Row = {"item_id": item_id, "what": what, "step_id": step, "nth": nth, "reason": reason}
            tables.install_exception[item_id, what] = stated


def _tell_sequence(tables: Tables, item_id: str, said: EditItem) -> None:
    if said.goes_after is not None:
        without(tables.goes_after, "item_id", item_id)
        for after, reason in said.goes_after:
            row = {"item_id": item_id, "after_item": after, "reason": reason}
            tables.goes_after[item_id, after] = row
    if said.side is not None:
        tables.side_exception.pop(item_id, None)
        if (what := said.side[0]) and (why := said.side[1]):
            tables.side_exception[item_id] = {"item_id": item_id, "what": what, "reason": why}


def tell_place(tables: Tables, told: Told, said: AddPlace) -> None:
    """Put what is said of a place into its row; where it stands follows from what moved it."""
    fresh: Row = {"id": told.id, "build_id": told.build_id, "parent_id": None, "rev": 1}
    put(tables.place, told.id, fresh, said_of(said, ("name", "rev")))
