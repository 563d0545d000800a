"""Where things are kept: bags in crates on shelves, and what lies in each."""

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy import select
from sqlalchemy.orm import Session
from wtforms import SelectField, StringField
from wtforms.validators import DataRequired, Length

from app.core.builds.snapshot import Snapshot
from app.core.items.bodies.plan import AddPlace
from app.core.items.journal import Line
from app.store.db.clock import new_id
from app.store.db.models import Build, Place
from app.store.journal import append, lines_of
from app.web.site.context import now_text, reading, snapshot, unit_of_work, visitor, writer
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
    lying = {p: [e for e in build.items if e.state.place.value == p] for p in build.places}
    return render_template("places/index.html", places=build.places.values(), lying=lying, form=form)


@bp.post("/b/<int:nr>/places")
def create(nr: int) -> ResponseReturnValue:
    """Make a place."""
    form = PlaceForm()
    with unit_of_work() as session:
        build = snapshot(session, nr)
        if not form.validate():
            return _page(build, form), 422
        place = add_place(session, build.id, (form.name.data or "").strip())
        if form.parent.data in build.places:
            move_place(session, place, form.parent.data)
    flash(f"«{place.name}» is there.", "done")
    return redirect(url_for("places.index", nr=nr))


def add_place(session: Session, build_id: str, name: str) -> Place:
    """Make a place with its first line."""
    place = Place(id=new_id(), build_id=build_id, name=name, parent_id=None)
    session.add(place)
    session.flush()
    line = writer().say(f"place:{place.id}", AddPlace(name=name, rev=place.rev))
    append(session, line, build_id=build_id, now=now_text())
    return place


def place_named(session: Session, build_id: str, name: str) -> Place:
    """Return the place of that name, new or known."""
    found = session.scalars(select(Place).where(Place.build_id == build_id, Place.name == name)).first()
    return found or add_place(session, build_id, name)


def move_place(session: Session, place: Place, parent_id: str) -> None:
    """Write down that a place now stands in another."""
    seen = lines_of(session, f"place:{place.id}")
    after = frozenset(line.id for line in seen[-1:])
    line = Line(
        new_id(), f"place:{place.id}", "move", {"place": parent_id}, after, visitor().person, visitor().device
    )
    append(session, line, build_id=place.build_id, now=now_text())


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
        lying=[e for e in build.items if e.state.place.value == place_id],
    )


@bp.post("/places/<place_id>/move")
def move(place_id: str) -> ResponseReturnValue:
    """Put a place into another; all that lies in it goes along."""
    target = request.form.get("place", "")
    with unit_of_work() as session:
        place = session.get(Place, place_id) or abort(404)
        if target and session.get(Place, target) is None:
            abort(404)
        if _is_inside(session, target, place_id):
            flash(f"«{place.name}» cannot stand in itself or in something that lies in it.", "problem")
        else:
            move_place(session, place, target)
            flash("Moved, with all that lies in it.", "done")
    return redirect(url_for("places.show", place_id=place_id))


def _is_inside(session: Session, inner: str, outer: str) -> bool:
    seen: set[str] = set()
    while inner and inner not in seen:
        if inner == outer:
            return True
        seen.add(inner)
        place = session.get(Place, inner)
        inner = (place.parent_id or "") if place else ""
    return False
