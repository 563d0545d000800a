"""The values that were reached as a sheet to print and file: group, print, reached, wrench, who, when."""

from collections.abc import Mapping
from datetime import date

from flask import Blueprint, Response, request
from flask.typing import ResponseReturnValue

from app.core.tightening.reached_rows import ReachedRow, reached_rows
from app.core.torque.units import TorqueUnit
from app.paper.reached_sheet import PAPERS, Cell, ReachedSheet, reached_pdf
from app.store import crew
from app.store.journal import written_at
from app.web.site.context import reading, snapshot, today
from app.web.site.wording import when

bp = Blueprint("reached", __name__)
SOMEBODY = "somebody"


@bp.get("/b/<int:nr>/torques/reached.pdf")
def sheet(nr: int) -> ResponseReturnValue:
    """Send the sheet as PDF."""
    with reading() as session:
        build = snapshot(session, nr)
        rows = reached_rows(build.items)
        names = {person.id: person.name for person in crew.people(session)}
        times = written_at(session, [row.line for row in rows])
    told = f"Torque values reached, as of {_day(today())}. {len(rows)} rows. The maker's figure decides."
    what = ReachedSheet(build.title, told, tuple(_cells(row, names, times) for row in rows))
    paper = request.args.get("paper", "A4")
    pdf = reached_pdf(what, PAPERS.get(paper, PAPERS["A4"]))
    return Response(
        pdf,
        mimetype="application/pdf",
        headers={"Content-Disposition": f'inline; filename="torques-{nr}.pdf"'},
    )


def _day(day: date) -> str:
    return f"{day:%d %b %Y}".lstrip("0")


def _cells(row: ReachedRow, names: Mapping[str, str], times: Mapping[str, str]) -> tuple[Cell, ...]:
    holes = f"no. {', '.join(map(str, row.holes))}" if row.holes else ""
    return (
        tuple(filter(None, (f"#{row.number} {row.name}".strip(), holes))),
        _print(row),
        (in_words(row.reached),),
        (row.wrench,),
        (names.get(row.person, SOMEBODY),),
        (when(times.get(row.line, "")),),
    )


def _print(row: ReachedRow) -> Cell:
    if not row.print:
        return ("no figure written",)
    read = f"read as {in_words(row.read_as)}" if row.read_as else "cannot be read"
    source = row.source or "no source given"
    return tuple(
        filter(
            None,
            (
                f"“{row.print}”",
                f"of this “{row.chosen}”" if row.chosen else "",
                read if row.confirmed else f"{read}: not confirmed",
                f"only {row.note}" if row.note else "",
                source,
            ),
        )
    )


def in_words(text: str) -> str:
    """Return a torque with the unit that is twelve times smaller in words, so that nobody overlooks it."""
    unit = TorqueUnit.POUND_INCH.value
    return text.replace(unit, f"{unit} (INCH pounds)")
