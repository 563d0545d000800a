"""Where things are kept: bags in crates on shelves, and what lies in each."""

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from wtforms import SelectField, StringField
from wtforms.validators import DataRequired, Length

from app.core.builds.snapshot import Snapshot
from app.store.db.models import Build, Place
from app.store.plan import places
from app.web.site.context import now_text, reading, snapshot, unit_of_work, writer
from app.web.site.form import Form, choices

bp = Blueprint("places", __name__)


class PlaceForm(Form):
    """A new place."""

    name = StringField("Name", [DataRequired("Give the place a name, such as crate 3."), Length(max=60)])
    parent = SelectField("Stands in", choices=[], validate_choice=False)


@bp.get("/b/<int:nr>/places")
def index(nr: int) -> ResponseReturnValue:
    """List the places and what lies in each."""
    with reading() as session:
        return _page(snapshot(session, nr), PlaceForm())


def _page(build: Snapshot, form: PlaceForm) -> str:
    form.parent.choices = choices(
        [("", "nothing: it stands on its own"), *((p.id, p.name) for p in build.places.values())]
    )
    return render_template("places/index.html", places=build.places.values(), lying=build.lying, form=form)


@bp.post("/b/<int:nr>/places")
def create(nr: int) -> ResponseReturnValue:
    """Make a place."""
    form = PlaceForm()
    with unit_of_work() as session:
        build = snapshot(session, nr)
        if not form.validate():
            return _page(build, form), 422
        name = (form.name.data or "").strip()
        place = places.add_place(session, build.id, name, writer=writer(), now=now_text())
        if form.parent.data:
            places.move_place(session, place, form.parent.data, writer=writer(), now=now_text())
    flash(f"«{place.name}» is there.", "done")
    return redirect(url_for("places.index", nr=nr))


@bp.get("/places/<place_id>")
def show(place_id: str) -> ResponseReturnValue:
    """Show one place: where it stands and what lies in it."""
    with reading() as session:
        place = session.get(Place, place_id) or abort(404)
        build = snapshot(session, session.get_one(Build, place.build_id).nr)
    return render_template(
        "places/show.html",
        place=build.places[place_id],
        path=build.place_path(place_id),
        places=[p for p in build.places.values() if p.id != place_id],
        inside=[p for p in build.places.values() if p.parent == place_id],
        lying=build.lying.get(place_id, ()),
    )


@bp.post("/places/<place_id>/move")
def move(place_id: str) -> ResponseReturnValue:
    """Put a place into another; all that lies in it goes along."""
    target = request.form.get("place", "")
    with unit_of_work() as session:
        place = session.get(Place, place_id) or abort(404)
        problem = places.move_place(session, place, target, writer=writer(), now=now_text())
        if problem and problem.code == "no-place":
            abort(404)
    text = problem.message if problem else "Moved, with all that lies in it."
    flash(text, "problem" if problem else "done")
    return redirect(url_for("places.show", place_id=place_id))
