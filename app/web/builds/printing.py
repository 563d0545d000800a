"""Printing sheets of blank tags."""

import io

from flask import Blueprint, abort, redirect, render_template, send_file, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy import select
from sqlalchemy.orm import Session
from wtforms import IntegerField, RadioField
from wtforms.validators import InputRequired, NumberRange

from app.paper.grids import label_grids, tag_areas
from app.paper.tag_sheet import draw_tag_sheet
from app.store.db.models import Sheet, Tag
from app.store.tags import codes_of, print_sheet
from app.web.site.context import app_state, now_text, owner_only, reading, snapshot, unit_of_work, visitor
from app.web.site.form import Form, choices

bp = Blueprint("printing", __name__)


class SheetForm(Form):
    """What to print."""

    grid = RadioField(
        "Paper", choices=[], validators=[InputRequired("Choose the paper that is in the printer.")]
    )
    halves = RadioField(
        "Tags",
        choices=choices(
            [
                ("halves", "in halves A and B, for things that come apart"),
                ("single", "single, for bags and parts"),
            ]
        ),
        default="halves",
    )
    sheets = IntegerField(
        "How many sheets",
        [InputRequired("Say how many sheets, 1 to 30."), NumberRange(1, 30, "1 to 30 sheets at a time.")],
        default=1,
    )


def _form() -> SheetForm:
    form = SheetForm()
    grids = label_grids()
    form.grid.choices = choices((key, grid.title) for key, grid in grids.items())
    form.grid.default = next(iter(grids))
    return form


@bp.get("/b/<int:nr>/print")
def index(nr: int) -> ResponseReturnValue:
    """Offer sheets of blank tags, and those printed before."""
    with reading() as session:
        snapshot(session, nr)
        form = _form()
        form.grid.data = form.grid.data or form.grid.default
        sheets = session.scalars(select(Sheet).order_by(Sheet.nr.desc()).limit(20)).all()
        shown = [(sheet, _sheet_text(sheet)) for sheet in sheets]
        return render_template("builds/printing/index.html", form=form, sheets=shown, at=app_state())


def _sheet_text(sheet: Sheet) -> str:
    """Return a sheet's paper, and whether its tags are in halves."""
    grid = label_grids().get(sheet.grid)
    halves = "in halves" if sheet.halves else "single"
    return f"{grid.title if grid else sheet.grid}, {halves}"


@bp.post("/b/<int:nr>/print")
@owner_only
def create(nr: int) -> ResponseReturnValue:
    """Draw fresh codes and go to their sheet."""
    form = _form()
    with unit_of_work() as session:
        snapshot(session, nr)
        if not form.validate():
            return render_template("builds/printing/index.html", form=form, sheets=[], at=app_state()), 422
        halves = form.halves.data == "halves"
        each = len(tag_areas(label_grids()[form.grid.data], halves=halves))
        sheet, _ = print_sheet(
            session,
            count=each * (form.sheets.data or 1),
            grid=form.grid.data,
            halves=halves,
            name=app_state().folder.name,
            port=app_state().port,
            now=now_text(),
            person=visitor().person,
            device=visitor().device,
        )
        sheet_nr = sheet.nr
    return redirect(url_for("printing.sheet", sheet_nr=sheet_nr))


@bp.get("/sheets/<int:sheet_nr>.pdf")
def sheet(sheet_nr: int) -> ResponseReturnValue:
    """Send a sheet as PDF; printed again, it is the same."""
    with reading() as session:
        row = session.scalars(select(Sheet).where(Sheet.nr == sheet_nr)).one_or_none() or abort(404)
        codes = codes_of(session, row.id)
        earlier = _sheets_before(session, row)
        void = set(session.scalars(select(Tag.code).where(Tag.void_at.is_not(None))))
    pdf = draw_tag_sheet(
        [code for code in codes if code not in void],
        grid=label_grids()[row.grid],
        halves=row.halves,
        name=row.name,
        port=row.port,
        first_sheet=earlier + 1,
    )
    answer = send_file(io.BytesIO(pdf), mimetype="application/pdf", download_name=f"tags-{sheet_nr}.pdf")
    answer.headers["Cache-Control"] = "private, no-cache"
    return answer


def _sheets_before(session: Session, sheet: Sheet) -> int:
    """Return how many sheets of paper were printed before this printing: they are numbered through."""
    count = 0
    for row in session.scalars(select(Sheet).where(Sheet.nr < sheet.nr)):
        each = len(tag_areas(label_grids()[row.grid], halves=row.halves))
        count += -(-len(codes_of(session, row.id)) // each)
    return count
