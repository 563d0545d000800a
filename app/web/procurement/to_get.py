"""What is to be got: a list by shop, as a page, as one file to take along, and as a table."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from wtforms import StringField
from wtforms.validators import DataRequired, Length

from app.core.builds.snapshot import Entry, Snapshot
from app.core.csv_lines import write_line
from app.core.items.items import Item
from app.core.items.numbers import item_of
from app.core.money import Money, plain_amount
from app.core.problem import Problem
from app.core.procurement.outstanding import Outstanding, prices
from app.core.procurement.to_get import GetLine, may_be_one_time
from app.core.wording.items import item_title
from app.core.wording.outstanding import arrived_text, get_text
from app.store.procurement.outstanding import end_outstanding, save_outstanding
from app.web.procurement.outstanding import change, need_id
from app.web.procurement.outstanding_form import OutstandingForm, read_outstanding, set_field_errors
from app.web.site.context import reading, snapshot, today, unit_of_work, way_back
from app.web.site.form import read_number, sent_id, status_of
from app.web.site.wording import in_dialect

bp = Blueprint("to_get", __name__)
COLUMNS = ("shop", "what", "how much", "for", "state", "price", "currency", "ordered on", "due")


class WishForm(OutstandingForm):
    """Something that the owner wants besides what the ledger asks for."""

    what = StringField("What to get", [DataRequired("Say what is to be got."), Length(max=200)])
    number = StringField("For item (number; empty: for none)", [Length(max=12)])


@dataclass(frozen=True, slots=True)
class GetRow:
    """A line of what is to be got, as the pages show it.

    Args:
        line: What is to be got, and what has been done about it.
        entry: The item that it is for; `None` where it is for none.
        details: For what it is, ordered and due when, the price.
        arrived: What the button says that ends it.
        form_href: The form of its shop and price.
    """

    line: GetLine
    entry: Entry | None
    details: str
    arrived: str
    form_href: str


def _row(build: Snapshot, line: GetLine) -> GetRow:
    entry = build.entries.get(line.item)
    known = line.outstanding
    return GetRow(
        line,
        entry,
        get_text(line, entry.item if entry else None, _title(entry), today()),
        "Arrived" if line.stage == "ordered" else "In hand",
        url_for("outstanding.edit", outstanding_id=known.id)
        if known
        else url_for("outstanding.create", item_id=line.item, category="get", need=line.code),
    )


def _title(entry: Entry | None) -> str:
    return in_dialect(item_title(entry.item)) if entry else ""


def _rows_by_shop(build: Snapshot) -> list[tuple[str, list[GetRow]]]:
    """Return what has not arrived, by shop."""
    shops = lines_by_shop(line for line in build.to_get if line.stage != "arrived")
    return [(shop, [_row(build, line) for line in lines]) for shop, lines in shops]


def lines_by_shop(lines: Iterable[GetLine]) -> list[tuple[str, list[GetLine]]]:
    """Return the lines by shop; those that no shop is named for come last."""
    found: dict[str, list[GetLine]] = defaultdict(list)
    for line in lines:
        found[line.shop].append(line)
    return sorted(found.items(), key=lambda pair: (not pair[0], pair[0].casefold()))


def _sum(lines: Iterable[GetLine], *stages: str) -> tuple[Money, ...]:
    return prices(line.outstanding for line in lines if line.outstanding and line.stage in stages)


@bp.get("/b/<int:nr>/to-get")
def index(nr: int) -> ResponseReturnValue:
    """List what is to be got and what is on its way, by shop."""
    with reading() as session:
        return _page(snapshot(session, nr), WishForm(formdata=None))


def _page(build: Snapshot, form: WishForm, problems: Sequence[Problem] = ()) -> str:
    for name, label in (
        ("count", "How many"),
        ("at_whom", "Shop"),
        ("price", f"Price, {build.currency}"),
        ("due", "Due"),
    ):
        form[name].label.text = label
    form.wait.data = sent_id(form.wait.data)
    lines = build.to_get
    return render_template(
        "procurement/to_get/index.html",
        groups=_rows_by_shop(build),
        arrived=[(line, arrived_text(line, today())) for line in lines if line.stage == "arrived"],
        unknown=[e for e in build.items if may_be_one_time(e.item, e.state)],
        asked=_sum(lines, "to get", "ordered"),
        spent=_sum(lines, "arrived"),
        form=form,
        problems=problems,
        whoms=sorted({w.at_whom for w in build.outstanding if w.at_whom}),
        today=today(),
    )


@bp.post("/b/<int:nr>/to-get")
def create(nr: int) -> ResponseReturnValue:
    """Put a line of the owner's own on the list."""
    form = WishForm()
    with unit_of_work() as session:
        build = snapshot(session, nr)
        typed = (form.number.data or "").strip()
        chosen = item_of(typed, (e.item for e in build.items)) if typed else None
        subject = f"item:{chosen.id}" if isinstance(chosen, Item) else f"build:{build.id}"
        outstanding, problems = read_outstanding(
            form, Outstanding(sent_id(form.wait.data), subject, "get", "other", rev=0), build.currency
        )
        if isinstance(chosen, Problem):
            problems.append(replace(chosen, where="number"))
        problems = problems or list(
            save_outstanding(session, outstanding, change(), build_id=build.id, currency=build.currency)
        )
        if problems:
            set_field_errors(form, problems)
            return _page(build, form, problems), status_of(*problems)
    flash("On the list.", "done")
    return redirect(url_for("to_get.index", nr=nr))


@bp.post("/b/<int:nr>/to-get/mark")
def mark(nr: int) -> ResponseReturnValue:
    """Write down that a line is ordered or has arrived: one tap."""
    item, code, known = (request.form.get(key, "") for key in ("item", "need", "wait"))
    what, rev = request.form.get("what", ""), read_number(request.form.get("rev", ""))
    with unit_of_work() as session:
        build = snapshot(session, nr)
        line = next((x for x in build.to_get if _is_same(x, item, code, known)), None)
        if line is None or what not in {"ordered", "arrived"}:
            flash("This line is not on the list any more: look at the list again.", "problem")
            return redirect(url_for("to_get.index", nr=nr))
        kept = change(rev)
        outstanding = line.outstanding or Outstanding(
            need_id(item, code), f"item:{item}", "get", code, line.what, count=line.count
        )
        problems: list[Problem] = []
        if line.outstanding is None or what == "ordered":
            since = today() if what == "ordered" else outstanding.since
            saved = replace(outstanding, since=outstanding.since or since, count=max(1, outstanding.count))
            problems += save_outstanding(session, saved, kept, build_id=build.id, currency=build.currency)
            kept = replace(kept, rev=kept.rev + 1)
        if what == "arrived" and not problems:
            problem = end_outstanding(session, outstanding.id, kept)
            problems += [problem] if problem else []
    flash(
        problems[0].message if problems else f"{what.capitalize()}: {line.what}",
        "problem" if problems else "done",
    )
    return redirect(way_back(url_for("to_get.index", nr=nr)))


def _is_same(line: GetLine, item: str, code: str, outstanding: str) -> bool:
    if outstanding:
        return line.outstanding is not None and line.outstanding.id == outstanding
    return line.outstanding is None and (line.item, line.code) == (item, code)


@bp.get("/b/<int:nr>/to-get.html")
def file(nr: int) -> ResponseReturnValue:
    """Send the list as one file that needs nothing else: for the phone in the shop, or for the printer."""
    with reading() as session:
        build = snapshot(session, nr)
    page = render_template(
        "procurement/to_get/file.html",
        groups=_rows_by_shop(build),
        asked=_sum(build.to_get, "to get", "ordered"),
        today=today(),
    )
    answer = make_response(page)
    answer.headers["Content-Disposition"] = f'attachment; filename="to-get-{nr}.html"'
    return answer


@bp.get("/b/<int:nr>/to-get.csv")
def table(nr: int) -> ResponseReturnValue:
    """Send the list as a table; no cell of it is taken for a formula."""
    with reading() as session:
        build = snapshot(session, nr)
    shops = lines_by_shop(build.to_get)
    rows = [COLUMNS, *(_cells(build, shop_name, line) for shop_name, lines in shops for line in lines)]
    answer = make_response(("\ufeff" + "".join(map(write_line, rows))).encode())
    answer.headers["Content-Type"] = "text/csv; charset=utf-8"
    answer.headers["Content-Disposition"] = f'attachment; filename="to-get-{nr}.csv"'
    return answer


def _cells(build: Snapshot, shop_name: str, line: GetLine) -> tuple[str, ...]:
    entry, outstanding = build.entries.get(line.item), line.outstanding
    money = outstanding.price if outstanding else None
    return (
        shop_name,
        line.what,
        line.quantity,
        f"#{entry.item.number} {entry.item.name}".strip() if entry else "",
        line.stage,
        plain_amount(money) if money else "",
        money.currency if money else "",
        outstanding.since.isoformat() if outstanding and outstanding.since else "",
        outstanding.due.isoformat() if outstanding and outstanding.due else "",
    )
