"""The steps of a plan: their list, put in order, and one of them with what it waits for."""

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.missing_roles import missing_in_plan
from app.core.builds.snapshot import Snapshot
from app.core.items.roles import Role
from app.core.items.step_names import proposed_back
from app.core.order.acts import PlanStep, StepEdge
from app.core.order.as_done import AsDone, order_as_done
from app.core.problem import Problem
from app.core.wording.heights import HEIGHT_TEXT
from app.core.wording.items import numbered
from app.core.wording.roles import ROLE_WORDS
from app.store.db.models import Build, Step
from app.store.plan import builds, steps
from app.store.plan.deleted_steps import GoesWith, delete_step, deleted_steps, goes_with, restore_step
from app.web.builds.step_form import DIRECTION_WORDS, StepForm, read_predecessors, read_step
from app.web.site.context import (
    now_text,
    owner_only,
    reading,
    snapshot,
    unit_of_work,
    way_back,
    writer,
)
from app.web.site.form import read_number, status_of

bp = Blueprint("steps", __name__)

DELETED_SHOWN = 10


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
        as_done = _as_done(build)
        is_kept = as_done.differs and steps.kept_order(session, build.id) == as_done.done
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
        as_done=as_done,
        is_kept=is_kept,
    )


def _as_done(build: Snapshot) -> AsDone:
    steps = (PlanStep(step.id, step.position, step.direction) for step in build.steps)
    return order_as_done(steps, (entry.thing for entry in build.items))


@bp.post("/b/<int:nr>/steps/as-done")
@owner_only
def take_over(nr: int) -> ResponseReturnValue:
    """Put the steps in the order in which they were done, as the page showed it, or keep the plan's."""
    keep = request.form.get("what") == "keep"
    with unit_of_work() as session:
        build = snapshot(session, nr)
        found = _as_done(build)
        seen = tuple(request.form.get("done", "").split())
        if seen == found.done and keep:
            steps.keep_order(session, build.id, found.done, writer=writer(), now=now_text())
        elif seen == found.done:
            steps.order_steps(session, build.id, found.done, writer=writer(), now=now_text())
    if seen != found.done:
        changed = Problem("order-changed", "The order has changed meanwhile: look again.", "as-done")
        return _page(nr, StepForm(formdata=None), changed), 409
    flash(
        "The plan keeps its order." if keep else "The steps stand in the order in which they were done.",
        "done",
    )
    return redirect(url_for("steps.index", nr=nr))


@bp.post("/b/<int:nr>/steps")
@owner_only
def add(nr: int) -> ResponseReturnValue:
    """Put a step at the end of the plan."""
    form = StepForm()
    if not form.validate():
        return _page(nr, form), 422
    with unit_of_work() as session:
        build = snapshot(session, nr)
        steps.add_step(session, build.id, read_step(form), writer=writer(), now=now_text())
    return redirect(url_for("steps.index", nr=nr))


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
        proposed=proposed_back(row.name, is_left=row.direction == "off_only"),
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
            return _step_page(build, row, form, read_predecessors(step_id)), 422
        else:
            problem = steps.edit_step(
                session,
                step_id,
                read_step(form),
                rev=read_number(form.rev.data or ""),
                writer=writer(),
                now=now_text(),
                predecessors=read_predecessors(step_id),
            )
            if problem:
                return _step_page(build, row, form, read_predecessors(step_id), problem), status_of(problem)
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
        f"«{names.get(e.before, 'a step')}»: {e.reason}" for e in read_predecessors("") or ()
    )
    typed = f" It was to wait for {predecessors}." if predecessors else ""
    return Problem(
        "gone",
        f"This step has been deleted meanwhile. What you typed stands below: add it as a new one.{typed}",
        "name",
    )


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
