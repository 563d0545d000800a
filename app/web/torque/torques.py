"""The torque values of all fastener groups, a table of them to paste, and a bolt that was found."""

import dataclasses
from collections.abc import Mapping

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from sqlalchemy.orm import Session

from app.core.builds.groups import by_zone
from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.items import Fastener
from app.core.problem import Problem
from app.core.tightening.found_bolt import Match, group_of, match, read_found
from app.core.tightening.readings import readings_to_confirm
from app.core.tightening.torque_table import (
    MOST_ROWS,
    SORTS,
    TableRow,
    find_items,
    read_table,
    remarks,
    sort_key,
    with_row,
)
from app.store import crew
from app.store.plan.items import edit_item
from app.web.cards.torque_view import view
from app.web.site.context import now_text, reading, snapshot, unit_of_work, visitor, writer
from app.web.site.form import RefusedError, status_of
from app.web.site.wording import in_dialect

bp = Blueprint("torques", __name__)
MOST_SHOWN = 50
_CHOICE = "choice-"
FITS = ("same thread, same length", "same thread", "same diameter, another thread: never force it in")


@bp.get("/b/<int:nr>/torques")
def index(nr: int) -> ResponseReturnValue:
    """List the groups by zone or in one row, or those without a figure in two lists."""
    by = request.args.get("sort", "")
    by = by if by in SORTS else "zone"
    only = request.args.get("only", "")
    missing = only == "missing"
    with reading() as session:
        build = snapshot(session, nr)
        people = crew.doers(session)
    rows = _sorted(build, by)
    again = [row for row in rows if row[1].retorque]
    if missing:
        lists = _missing(rows)
    elif only == "again":
        lists = [("To be tightened again after the first start", again)]
    else:
        lists = by_zone(build, rows, lambda row: row[0].item.zone) if by == "zone" else [("All groups", rows)]
    is_headed = by == "zone" and not missing
    zone_of = {} if is_headed else {zone.id: zone.label for zone in build.zones} | {"": "no zone yet"}
    return render_template(
        "torque/torques/index.html",
        by=by,
        sorts=SORTS,
        missing=missing,
        lists=[
            (label, [_shown(entry, group, zone_of) for entry, group in found])
            for label, found in lists
            if found
        ],
        only=only,
        people=people,
        again=len(again),
        unconfirmed=len(readings_to_confirm(build.items)),
        without=sum(1 for _, group in rows if not group.torque),
    )


def _sorted(build: Snapshot, by: str) -> list[tuple[Entry, Fastener]]:
    zones = {zone.id: at for at, zone in enumerate(build.zones)}
    rows = [(e, e.item.detail) for e in build.items if isinstance(e.item.detail, Fastener)]
    return sorted(rows, key=lambda row: sort_key(row[0].item, by, zones))


def _missing(rows: list[tuple[Entry, Fastener]]) -> list[tuple[str, list[tuple[Entry, Fastener]]]]:
    return [
        ("Looked for, none found", [r for r in rows if not r[1].torque and r[1].no_figure]),
        ("Never looked for", [r for r in rows if not r[1].torque and not r[1].no_figure]),
    ]


def _shown(entry: Entry, group: Fastener, zone_of: Mapping[str, str]) -> dict[str, object]:
    """Return a row; `zone_of` is empty where the zone stands above it."""
    zone = entry.item.zone if entry.item.zone in zone_of else ""
    return {
        "zone": zone_of.get(zone, ""),
        "entry": entry,
        "group": group,
        "torque": view(group),
        "remarks": remarks(group),
        "by_feel": not group.torque and _awaits_feel(entry),
    }


def _awaits_feel(entry: Entry) -> bool:
    """Tell whether a group without a figure is in, and can be closed as tightened by feel."""
    codes = {reason.code for reason in entry.reasons}
    return bool(codes) and codes <= {"no-figure", "hand-tight", "placed"}


@bp.get("/b/<int:nr>/torques/paste")
def paste(nr: int) -> ResponseReturnValue:
    """Show the box for a table."""
    with reading() as session:
        build = snapshot(session, nr)
    if not visitor().may_write:
        return redirect(url_for("torques.index", nr=build.nr))
    return render_template("torque/torques/paste.html", table="", problems=[], more=0)


@bp.post("/b/<int:nr>/torques/paste")
def paste_submit(nr: int) -> ResponseReturnValue:
    """Write the figures of a table, all or none."""
    table = request.form.get("table", "")
    rows = read_table(table, _chosen())
    try:
        with unit_of_work() as session:
            written = _write(session, snapshot(session, nr), rows)
            unconfirmed = len(readings_to_confirm(snapshot(session, nr).items))
    except RefusedError as error:
        shown, more = error.problems[:MOST_SHOWN], max(0, len(error.problems) - MOST_SHOWN)
        several = [row for row in rows if row.values]
        page = render_template(
            "torque/torques/paste.html", table=table, problems=shown, more=more, several=several
        )
        return page, status_of(*shown)
    flash(f"{written} torque values are written.", "done")
    if unconfirmed:
        waits = "reading waits" if unconfirmed == 1 else "readings wait"
        flash(f"{unconfirmed} {waits} to be compared with the print: see Readings.", "done")
    return redirect(url_for("torques.index", nr=nr))


def _chosen() -> dict[int, str]:
    """Return which value was chosen of the prints that give several, by line."""
    sent = ((key.removeprefix(_CHOICE), value) for key, value in request.form.items() if _CHOICE in key)
    return {int(line): value for line, value in sent if line.isdecimal()}


def _write(session: Session, build: Snapshot, rows: tuple[TableRow, ...]) -> int:
    """Write the rows that change something and return how many they are, or raise `RefusedError`."""
    if not 0 < len(rows) <= MOST_ROWS:
        raise RefusedError(Problem("table-size", f"Paste 1 to {MOST_ROWS} rows at once.", "table"))
    found = find_items(rows, (entry.item for entry in build.items))
    if problems := [problem for row in found for problem in row.problems]:
        raise RefusedError(*problems)
    changed = [row for row in found if _is_new(row)]
    for row in changed:
        _write_row(session, build, row)
    return len(changed)


def _is_new(row: TableRow) -> bool:
    return (
        row.item is not None
        and isinstance(row.item.detail, Fastener)
        and with_row(row.item, row.item.detail, row) != row.item
    )


def _write_row(session: Session, build: Snapshot, row: TableRow) -> None:
    if row.item is None or not isinstance(row.item.detail, Fastener):
        return
    entry = build.entries[row.item.id]
    line = dataclasses.replace(writer().line(entry.subject, "edit", {}), after=frozenset(entry.state.tips))
    item = with_row(row.item, row.item.detail, row)
    problem = edit_item(session, item.id, item, line, rev=entry.rev, now=now_text())
    if problem:
        raise RefusedError(dataclasses.replace(problem, where="table"))


@bp.get("/b/<int:nr>/found")
def found(nr: int) -> ResponseReturnValue:
    """Answer «I found this bolt» with the groups it can belong to."""
    typed = {name: request.args.get(name, "") for name in ("thread", "length", "head")}
    asked = any(value.strip() for value in typed.values())
    with reading() as session:
        build = snapshot(session, nr)
    answer = _answer(build, typed) if asked else ()
    matches, problem = ((), answer) if isinstance(answer, Problem) else (answer, None)
    return render_template(
        "torque/torques/found.html",
        typed=typed,
        problem=problem,
        asked=asked and not problem,
        short=[_matching(build, m) for m in matches if m.group.short],
        others=[_matching(build, m) for m in matches if not m.group.short],
        unread=sum(1 for e in _groups(build) if group_of(e.item, e.state) is None),
    ), 422 if problem else 200


def _matching(build: Snapshot, found: Match) -> tuple[Entry, str]:
    """Return a group that a bolt can belong to, and why: what it is short of, thread, head, fit, zone."""
    entry = build.entries[found.group.item.id]
    group, zone = entry.item.detail, build.zone.get(entry.item.zone)
    head = in_dialect(group.head) if isinstance(group, Fastener) else ""
    words = (
        f"{found.group.short} short" if found.group.short else "",
        group.thread if isinstance(group, Fastener) else "",
        f"{head} (this head)" if head and found.same_head else head,
        FITS[found.fit],
        in_dialect(zone.label) if zone else "",
    )
    return entry, " · ".join(filter(None, words))


def _groups(build: Snapshot) -> list[Entry]:
    return [entry for entry in build.items if isinstance(entry.item.detail, Fastener)]


def _answer(build: Snapshot, typed: dict[str, str]) -> tuple[Match, ...] | Problem:
    bolt = read_found(**typed)
    if isinstance(bolt, Problem):
        return bolt
    return match((group for e in _groups(build) if (group := group_of(e.item, e.state))), bolt)
