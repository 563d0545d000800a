"""The desk: every page for the evening at the laptop, and the other projects of the folder."""

from flask import Blueprint, render_template
from flask.typing import ResponseReturnValue
from sqlalchemy import select

from app.store.db.models import Build
from app.web.site.context import reading, snapshot, visitor
from app.web.site.navigation import shelves

bp = Blueprint("desk", __name__)


@bp.get("/b/<int:nr>/desk")
def show(nr: int) -> ResponseReturnValue:
    """Show the pages by what they belong to, and the other projects."""
    with reading() as session:
        build = snapshot(session, nr)
        others = session.scalars(select(Build).where(Build.nr != build.nr).order_by(Build.nr)).all()
        projects = [(each.nr, each.title, each.vehicle) for each in others]
    return render_template(
        "builds/desk.html", shelves=shelves(nr, is_owner=visitor().is_owner), projects=projects
    )
