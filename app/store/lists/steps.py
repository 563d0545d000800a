"""The steps of a list, put into a plan: changed where they are there, made beside their neighbours if not."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from app.core.builds.snapshot import Snapshot
from app.core.items.bodies.plan import AddStep, EditBuild
from app.core.lists import columns
from app.core.lists.listed import ListedStep
from app.store.db.clock import new_id
from app.store.db.models import Step
from app.store.journal import step_as_item
from app.store.lists.lines import Pen, insert_all
from app.store.plan.builds import layout, starter_words
from app.store.plan.steps import edit_step

UNTOLD = {"role": "", "name_back": "", "instruction": "", "instruction_back": "", "for_helper": True}
"""What a new step has that is none of the layout's: a list does not say it."""


def steps_by_name(build: Snapshot) -> dict[str, str]:
    """Return the ids of the steps by their names in small letters; the first of a name counts."""
    return {step.name.casefold(): step.id for step in reversed(build.steps)}


def changes_of(known: Any, step: ListedStep) -> dict[str, Any]:
    """Return what a list says otherwise of a step that is there."""
    said = {key: value for key, value in _said(step).items() if value is not None}
    return {key: value for key, value in said.items() if getattr(known, key) != value}


def _said(step: ListedStep) -> dict[str, Any]:
    return {column.field: getattr(step, column.field) for column in columns.TABLE.of_step}


def write_steps(pen: Pen, build: Snapshot, steps: Sequence[ListedStep]) -> dict[str, str]:
    """Edit the steps that are there, make the others beside their neighbours; return all ids by name."""
    ids = steps_by_name(build)
    starters = _starters(build.layout)
    made: dict[str, dict[str, Any]] = {}
    for step in steps:
        plain = step.name.casefold()
        if plain in ids:
            known = pen.session.get_one(Step, ids[plain])
            if changes := changes_of(known, step):
                edit_step(pen.session, known.id, changes, rev=known.rev, writer=pen.writer, now=pen.now)
            continue
        unsaid = {column.field: column.unsaid for column in columns.TABLE.of_step}
        values = {"name": step.name} | {k: unsaid[k] if v is None else v for k, v in _said(step).items()}
        step_id = new_id()
        made[step_id] = values | {"id": step_id, "build_id": build.id, "shares_zone": False, "rev": 1}
        like = starters.get(plain)
        words = starter_words(like) if like else {}
        made[step_id] |= {"cautions": list(like["cautions"]) if like else [], **(UNTOLD | words)}
    ids |= {values["name"].casefold(): step_id for step_id, values in made.items()}
    order = _merged([step.id for step in build.steps], [ids[step.name.casefold()] for step in steps])
    moved = any(known.position != order[known.id] for known in build.steps)
    for step_id, position in order.items():
        if step_id in made:
            made[step_id]["position"] = position
            pen.about[f"step:{step_id}"] = step_as_item(Step(**made[step_id]))
        else:
            pen.session.get_one(Step, step_id).position = position
    pen.session.flush()
    insert_all(pen.session, Step, made.values())
    for step_id, values in made.items():
        pen.write(f"step:{step_id}", AddStep.read(values))
    if made or moved:
        pen.write(f"build:{build.id}", EditBuild(order=tuple(sorted(order, key=order.__getitem__))))
    return ids


def _starters(layout_key: str) -> dict[str, dict[str, Any]]:
    """Return a layout's steps by the names that they have and had, in small letters."""
    steps = layout(layout_key)["steps"]
    return {
        name.casefold(): step for step in steps for name in (*step.get("earlier_names", ()), step["name"])
    }


def _merged(there: Sequence[str], listed: Sequence[str]) -> dict[str, int]:
    """Return the position of each step: what is there stays in order, what is new stands by its neighbour.

    A new step comes after the listed one before it, or before the next one that is there; at the end where
    the list names none that is there.
    """
    known = set(there)
    behind: dict[str, list[str]] = defaultdict(list)
    before: list[str] = []
    anchor = ""
    for step in listed:
        if step in known:
            if not anchor:
                behind[f"before {step}"], before = before, []
            anchor = step
        elif anchor:
            behind[anchor].append(step)
        else:
            before.append(step)
    order = [s for each in there for s in (*behind[f"before {each}"], each, *behind[each])]
    return {step: position for position, step in enumerate([*order, *before])}
