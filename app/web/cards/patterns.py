"""The pattern of a fastener group on paper, in its real size where its places are known."""

from flask import Blueprint, Response, abort, flash, redirect, request, url_for
from flask.typing import ResponseReturnValue

from app.core.items.items import Fastener
from app.core.problem import Problem
from app.core.tightening.parsed import holes_of
from app.core.tightening.patterns import PatternDrawing, drawing_of
from app.core.tightening.stages import stages_of
from app.core.wording.items import item_title
from app.paper.pattern_sheet import PAPERS, HoleMark, PatternSheet, pattern_pdf
from app.web.site.context import entry_of, reading

bp = Blueprint("patterns", __name__)
NOT_SAID = "Nobody said yet how its bolts lie: choose the pattern with its words."


@bp.get("/i/<item_id>/pattern.pdf")
def sheet(item_id: str) -> ResponseReturnValue:
    """Send the pattern as a PDF."""
    with reading() as session:
        _, entry = entry_of(session, item_id)
    item, group = entry.item, entry.item.detail
    drawing = drawing_of(group, item.n or 0) if isinstance(group, Fastener) else None
    if not isinstance(group, Fastener) or not isinstance(drawing, PatternDrawing):
        flash(drawing.message if isinstance(drawing, Problem) else NOT_SAID, "problem")
        return redirect(url_for("cards.show", item_id=item_id))
    lengths = {p.number: p.length_mm for p in holes_of(item)}
    turns = {number: turn for turn, number in enumerate(drawing.order, start=1)}
    holes = tuple(
        HoleMark(number, turns[number], *place, lengths.get(number))
        for number, place in enumerate(drawing.points, start=1)
    )
    what = PatternSheet(
        f"#{item.number} {item_title(item)}",
        _words(group),
        holes,
        measured=drawing.measured,
    )
    paper = request.args.get("paper", "A4")
    pdf = pattern_pdf(what, PAPERS.get(paper, PAPERS["A4"]))
    if isinstance(pdf, Problem):
        abort(400, pdf.message)
    return Response(
        pdf,
        mimetype="application/pdf",
        headers={"Content-Disposition": f'inline; filename="pattern-{item.number}.pdf"'},
    )


def _words(group: Fastener) -> str:
    """Return what stands above the drawing: thread, print, and the stages that it is read as."""
    stages = "; ".join(stage.words for stage in stages_of(group))
    printed = f"printed “{group.printed}”" if group.printed else ""
    return " · ".join(filter(None, [group.thread, printed, f"read as {stages}" if stages else ""]))
