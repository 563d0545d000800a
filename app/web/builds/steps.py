"""The steps of a plan: their list, put in order, and one of them with what it waits for."""

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session
from wtforms import BooleanField, HiddenField, IntegerField, SelectField, StringField, TextAreaField
from wtforms.validators import DataRequired, InputRequired, Length, NumberRange

from app.core.builds.missing_roles import missing_in_plan
from app.core.builds.snapshot import Snapshot
from app.core.items.roles import Role
from app.core.items.step_names import LONGEST, proposed_back
from app.core.order.acts import StepEdge
from app.core.problem import Problem
from app.core.wording.heights import HEIGHT_TEXT
from app.core.wording.items import numbered
from app.core.wording.roles import ROLE_CHOICES, ROLE_WORDS
from app.store.db.models import Build, Step
from app.store.plan import builds, steps
from app.store.plan.deleted_steps import GoesWith, delete_step, deleted_steps, goes_with, restore_step
from app.web.site.context import (
    now_text,
    owner_only,
    reading,
    snapshot,
    unit_of_work,
    way_back,
    writer,
)
from app.web.site.form import Form, choices, read_number, status_of

bp = Blueprint("steps", __name__)

DIRECTION_WORDS = [
    ("both", "both ways"),
    ("off_only", "off only: drain, soak, mark"),
    ("on_only", "on only: fill, bleed, prime"),
]

LONGEST_INSTRUCTION = 600
DELETED_SHOWN = 10
WRITTEN = ("name", "height", "people", "minutes", "direction", "shares_zone")
INSTRUCTIONS = ("instruction", "instruction_back")
NEWEST = "name_back"
"""A field that stands on every page with the names of both ways, and on none from before."""


class StepForm(Form):
    """A step of the plan."""

    name = StringField("What is done", [DataRequired("Say what is done in this step."), Length(max=LONGEST)])
    name_back = StringField("On the way back", [Length(max=LONGEST)])
    role = SelectField("What it is for", choices=choices(ROLE_CHOICES), default="")
    instruction = TextAreaField("How, taking off", [Length(max=LONGEST_INSTRUCTION)])
    instruction_back = TextAreaField("How, putting back", [Length(max=LONGEST_INSTRUCTION)])
    height = SelectField("Vehicle stands", choices=choices(HEIGHT_TEXT.items()))
    people = IntegerField(
        "People",
        [InputRequired("How many people, 1 to 9."), NumberRange(1, 9, "People: 1 to 9.")],
        default=1,
    )
    minutes = IntegerField(
        "Minutes",
        [
            InputRequired("About how many minutes, 0 to 6000."),
            NumberRange(0, 6000, "Minutes: 0 to 6000."),
        ],
        default=30,
    )
    direction = SelectField("Direction", choices=choices(DIRECTION_WORDS))
    shares_zone = BooleanField("Somebody else may work in the same zone meanwhile")
    for_helper = BooleanField("Somebody who knows nothing of it may do it")
    rev = HiddenField()


@bp.get("/b/<int:nr>/steps")
def index(nr: int) -> ResponseReturnValue:
    """List the plan's steps in the order of taking off."""
    with reading() as session:
        build = snapshot(session, nr)
    return _page(build.nr, StepForm())


def _page(nr: int, form: StepForm, problem: Problem | None = None) -> str:
    with reading() as session:
        build = snapshot(session, nr)
        gone = deleted_steps(session, build.id)
    counts = {s.id: sum(e.item.step == s.id for e in build.items) for s in build.steps}
    return render_template(
        "builds/steps/index.html",
        steps=build.steps,
        counts=counts,
        form=form,
        problem=problem,
        heights=HEIGHT_TEXT,
        directions=dict(DIRECTION_WORDS),
        roles=ROLE_WORDS,
        missing=missing_in_plan(build),
        deleted=gone[:DELETED_SHOWN],
    )


@bp.post("/b/<int:nr>/steps")
@owner_only
def add(nr: int) -> ResponseReturnValue:
    """Put a step at the end of the plan."""
    form = StepForm()
    if not form.validate():
        return _page(nr, form), 422
    with unit_of_work() as session:
        build = snapshot(session, nr)
        steps.add_step(session, build.id, _step_values(form), writer=writer(), now=now_text())
    return redirect(url_for("steps.index", nr=nr))


def _step_values(form: StepForm) -> dict[str, object]:
    """Return what the form says; a page from before a field was on it says nothing of that field.

    What is left as it was proposed for the way back stays proposed.
    """
    values = {key: form[key].data for key in WRITTEN}
    if NEWEST in request.form:
        texts = {key: (form[key].data or "").strip() for key in (NEWEST, *INSTRUCTIONS)}
        if texts["name_back"] == proposed_back(str(form.name.data)):
            texts["name_back"] = ""
        values |= texts | {key: form[key].data for key in ("role", "for_helper")}
    return values


@bp.get("/steps/<step_id>")
@owner_only
def show(step_id: str) -> ResponseReturnValue:
    """Show the form of one step."""
    with reading() as session:
        build, row = _step(session, step_id)
        return _step_page(build, row, StepForm(obj=row))


def _step(session: Session, step_id: str) -> tuple[Snapshot, Step]:
    """Return a step and its build; an unknown one is a 404."""
    row = session.get(Step, step_id) or abort(404)
    return snapshot(session, session.get_one(Build, row.build_id).nr), row


def _step_page(
    build: Snapshot,
    row: Step,
    form: StepForm,
    predecessors: list[StepEdge] | None = None,
    problem: Problem | None = None,
) -> str:
    if predecessors is None:
        predecessors = [edge for edge in build.step_edges if edge.after == row.id]
    return render_template(
        "builds/steps/show.html",
        form=form,
        step=row,
        predecessors=[*predecessors, StepEdge("", row.id)],
        others=[each for each in build.steps if each.direction != "off_only" and each.id != row.id],
        follow=[edge for edge in build.step_edges if edge.before == row.id],
        named=[(build.entries[d.item], d) for d in build.install_exceptions if d.step == row.id],
        proposed=proposed_back(row.name),
        missing=missing_in_plan(build),
        problem=problem,
    )


@bp.post("/b/<int:nr>/steps/order")
@owner_only
def move(nr: int) -> ResponseReturnValue:
    """Move the ticked steps behind another."""
    with unit_of_work() as session:
        build = snapshot(session, nr)
        chosen, after = request.form.getlist("chosen"), request.form.get("after", "")
        problem = steps.move_steps(session, build.id, chosen, after, writer=writer(), now=now_text())
    if problem:
        return _page(nr, StepForm(formdata=None), problem), 422
    return redirect(url_for("steps.index", nr=nr))


@bp.post("/b/<int:nr>/steps/role")
@owner_only
def give_role(nr: int) -> ResponseReturnValue:
    """Say which step has a role that was missing."""
    role = request.form.get("role", "")
    if role not in ROLE_WORDS:
        abort(404)
    with unit_of_work() as session:
        build = snapshot(session, nr)
        problem = steps.give_role(
            session, build.id, request.form.get("step", ""), Role(role), writer=writer(), now=now_text()
        )
    if problem:
        flash(problem.message, "problem")
    return redirect(way_back(url_for("steps.index", nr=nr)))


@bp.post("/b/<int:nr>/steps/undo")
@owner_only
def restore(nr: int) -> ResponseReturnValue:
    """Undo a deletion."""
    with unit_of_work() as session:
        problem = restore_step(session, request.form.get("line", ""), writer=writer(), now=now_text())
    if problem:
        flash(problem.message, "problem")
    return redirect(url_for("steps.index", nr=nr))


@bp.post("/steps/<step_id>")
@owner_only
def submit(step_id: str) -> ResponseReturnValue:
    """Write, move or delete a step."""
    form, what = StepForm(), request.form.get("what", "edit")
    if what == "edit" and (gone := _gone_from(step_id)):
        overtaken = _gone_problem(gone)
        return _page(gone, form, overtaken), status_of(overtaken)
    with unit_of_work() as session:
        build, row = _step(session, step_id)
        if what in {"earlier", "later"}:
            steps.move_step(session, step_id, -1 if what == "earlier" else 1, writer=writer(), now=now_text())
        elif what == "delete":
            goes = goes_with(session, step_id)
            if request.form.get("goes_with") != goes.said:
                return _ask_to_delete(build, row, goes), 409 if "goes_with" in request.form else 200
            delete_step(session, step_id, writer=writer(), now=now_text())
        elif not form.validate():
            return _step_page(build, row, form, _predecessors(step_id)), 422
        else:
            problem = steps.edit_step(
                session,
                step_id,
                _step_values(form),
                rev=read_number(form.rev.data or ""),
                writer=writer(),
                now=now_text(),
                predecessors=_predecessors(step_id),
            )
            if problem:
                return _step_page(build, row, form, _predecessors(step_id), problem), status_of(problem)
    return redirect(url_for("steps.index", nr=build.nr))


def _gone_from(step_id: str) -> int:
    """Return the number of the build from which a step has been deleted; 0 where none has."""
    with reading() as session:
        build = builds.build_of_deleted_step(session, step_id)
        return build.nr if build else 0


def _gone_problem(nr: int) -> Problem:
    """Say that a step is gone, with what was typed that the form for one more step has no field for."""
    with reading() as session:
        names = {step.id: step.name for step in snapshot(session, nr).steps}
    predecessors = "; ".join(
        f"«{names.get(e.before, 'a step')}»: {e.reason}" for e in _predecessors("") or ()
    )
    typed = f" It was to wait for {predecessors}." if predecessors else ""
    return Problem(
        "gone",
        f"This step has been deleted meanwhile. What you typed stands below: add it as a new one.{typed}",
        "name",
    )


def _predecessors(step_id: str) -> list[StepEdge] | None:
    """Return which steps the form says come first, and why; `None` where it does not ask."""
    if "predecessors" not in request.form:
        return None
    rows = zip(request.form.getlist("predecessors"), request.form.getlist("waits_why"), strict=False)
    return [StepEdge(before, step_id, reason.strip()[:200]) for before, reason in rows if before]


def _ask_to_delete(build: Snapshot, row: Step, goes: GoesWith) -> str:
    """Ask before a step is deleted, with all that goes with it."""
    changed = Problem("more-goes", "What goes with it has changed meanwhile: look again.")
    return render_template(
        "builds/steps/delete.html",
        step=row,
        role=ROLE_WORDS[row.role] if row.role else "",
        orders=[(build.step[before].name, build.step[after].name, why) for before, after, why in goes.orders],
        exceptions=[(numbered(build.entries[item].item), why) for item, _, _, why in goes.exceptions],
        things=len(goes.items),
        goes_with=goes.said,
        problem=changed if "goes_with" in request.form else None,
    )


@bp.post("/b/<int:nr>/zones")
@owner_only
def add_zone(nr: int) -> ResponseReturnValue:
    """Add a zone of the owner's own."""
    label = request.form.get("label", "").strip()[:60]
    level = "below" if request.form.get("level") == "below" else "above"
    if not label:
        flash("Give the zone a name.", "problem")
        return redirect(url_for("steps.index", nr=nr))
    with unit_of_work() as session:
        build = snapshot(session, nr)
        builds.add_zone(session, build.id, label, level, writer=writer(), now=now_text())
    flash(f"Zone «{label}» is there.", "done")
    return redirect(url_for("steps.index", nr=nr))
