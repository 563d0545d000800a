"""The steps of a plan: their list, put in order, and one of them with what it waits for."""

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session
from wtforms import BooleanField, HiddenField, IntegerField, SelectField, StringField
from wtforms.validators import DataRequired, InputRequired, Length, NumberRange

from app.core.builds.snapshot import Snapshot
from app.core.order.acts import StepEdge
from app.core.problem import Problem
from app.core.wording.heights import HEIGHT_TEXT
from app.store.db.models import Build, Step
from app.store.plan import builds
from app.store.plan.install_exceptions import count_named
from app.web.site.context import now_text, owner_only, reading, snapshot, unit_of_work, writer
from app.web.site.form import Form, choices, read_number, status_of

bp = Blueprint("steps", __name__)

DIRECTION_WORDS = [
    ("both", "both ways"),
    ("off_only", "off only: drain, soak, mark"),
    ("on_only", "on only: fill, bleed, prime"),
]


class StepForm(Form):
    """A step of the plan."""

    name = StringField("What is done", [DataRequired("Say what is done in this step."), Length(max=80)])
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
    counts = {s.id: sum(e.item.step == s.id for e in build.items) for s in build.steps}
    return render_template(
        "builds/steps/index.html",
        steps=build.steps,
        counts=counts,
        form=form,
        problem=problem,
        heights=HEIGHT_TEXT,
        directions=dict(DIRECTION_WORDS),
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
        builds.add_step(session, build.id, _step_values(form), writer=writer(), now=now_text())
    return redirect(url_for("steps.index", nr=nr))


def _step_values(form: StepForm) -> dict[str, object]:
    return {
        key: form[key].data for key in ("name", "height", "people", "minutes", "direction", "shares_zone")
    }


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
        problem=problem,
    )


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
            builds.move_step(
                session, step_id, -1 if what == "earlier" else 1, writer=writer(), now=now_text()
            )
        elif what == "delete":
            _delete_step(session, row)
        elif not form.validate():
            return _step_page(build, row, form, _predecessors(step_id)), 422
        else:
            problem = builds.edit_step(
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


def _delete_step(session: Session, row: Step) -> None:
    name, gone = row.name, count_named(session, row.id)
    problem = builds.delete_step(session, row.id, writer=writer(), now=now_text())
    if problem:
        flash(problem.message, "problem")
    elif gone:
        flash(f"«{name}» is deleted; {gone} stated orders or exceptions that named it went with it.", "done")


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
