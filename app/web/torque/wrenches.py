"""The torque wrenches and adapters in the drawer: listed, added, edited, removed."""

import re
from datetime import date
from decimal import Decimal
from typing import TypeVar

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from wtforms import Field, HiddenField, SelectField, StringField
from wtforms.validators import DataRequired, InputRequired, Length, Optional, ValidationError

from app.core.numbers import printed_number
from app.core.problem import Problem
from app.core.torque.units import TorqueUnit, plain
from app.core.torque.wrenches import Adapter, Wrench, WrenchType, is_overdue
from app.store.db.models import AdapterRow, WrenchRow
from app.store.plan.wrenches import (
    Edit,
    KeptAdapter,
    KeptWrench,
    adapters,
    remove,
    save_adapter,
    save_wrench,
    wrenches,
)
from app.web.site.context import now_text, reading, snapshot, today, unit_of_work, writer
from app.web.site.form import Form, choices, read_number, status_of

bp = Blueprint("wrenches", __name__)
K = TypeVar("K", KeptWrench, KeptAdapter)
_FIELD = {"name": "adapter_name"}
TYPE_TEXT = [
    ("click", "click: set, it clicks"),
    ("beam", "beam: a pointer bends over a scale"),
    ("dial", "dial: a needle over a scale"),
    ("digital", "digital: a display"),
    ("angle", "angle gauge: degrees, no torque"),
]
_TYPE = {key: words.partition(":")[0] for key, words in TYPE_TEXT}
_NUMBER = re.compile(r"-?[0-9]{1,6}(?:[.,][0-9]{1,4})?")


def _is_number(_: Form, field: Field) -> None:
    if not _NUMBER.fullmatch((field.data or "").strip()):
        raise ValidationError("Write a plain number, such as 16 or 0.5, of six digits at most.")


def _is_day(_: Form, field: Field) -> None:
    try:
        date.fromisoformat(field.data.strip())
    except ValueError as error:
        raise ValidationError("Write the day as year-month-day, such as 2031-05-04.") from error


def _needed(words: str) -> list[object]:
    return [InputRequired(words), _is_number]


class WrenchForm(Form):
    """A wrench."""

    name = StringField("Name", [DataRequired("Give the wrench a name, such as small click."), Length(max=40)])
    low = StringField("Lowest marked value", _needed("The lowest value on the scale, above zero."))
    high = StringField("Full scale", _needed("The highest value on the scale."))
    unit = SelectField("Unit of the scale", choices=choices((unit.value, unit.value) for unit in TorqueUnit))
    graduation = StringField("Graduation", _needed("From one mark to the next."))
    type = SelectField("Type", choices=choices(TYPE_TEXT))
    lever_mm = StringField("Square to middle of the grip, mm", [Optional(), _is_number])
    checked_on = StringField("Last checked on", [Optional(), _is_day])
    wrench = HiddenField()
    rev = HiddenField()

    def read(self) -> Wrench:
        """Return what was typed; the form must be valid."""
        return Wrench(
            str(self.name.data).strip(),
            _decimal(self.low),
            _decimal(self.high),
            TorqueUnit(self.unit.data),
            _decimal(self.graduation),
            WrenchType(self.type.data),
            float(_decimal(self.lever_mm)) if self.lever_mm.data else 0.0,
            date.fromisoformat(self.checked_on.data.strip()) if self.checked_on.data else None,
        )


class AdapterForm(Form):
    """An adapter."""

    adapter_name = StringField(
        "Name", [DataRequired("Give the adapter a name, such as 17 mm crow-foot."), Length(max=40)]
    )
    length_mm = StringField(
        "Middle of the square to middle of the bolt, mm", _needed("Measure it: no setting follows without.")
    )
    angle_deg = StringField(
        "Angle to the wrench, degrees", _needed("0 in line, 90 square, 180 pointing back."), default="0"
    )
    adapter = HiddenField()
    rev = HiddenField()

    def read(self) -> Adapter:
        """Return what was typed; the form must be valid."""
        name = str(self.adapter_name.data).strip()
        return Adapter(name, float(_decimal(self.length_mm)), float(_decimal(self.angle_deg)))


def _decimal(field: StringField) -> Decimal:
    typed = str(field.data).strip()
    return -printed_number(typed[1:]) if typed.startswith("-") else printed_number(typed)


@bp.get("/b/<int:nr>/wrenches")
def index(nr: int) -> ResponseReturnValue:
    """List the wrenches and adapters; `?wrench=` or `?adapter=` opens one of them to be edited."""
    with reading() as session:
        wrench = _asked("wrench", wrenches(session))
        adapter = _asked("adapter", adapters(session))
    return _page(nr, _filled_wrench(wrench), _filled_adapter(adapter))


def _asked(word: str, known: tuple[K, ...]) -> K | None:
    """Return the wrench or adapter that the address asks for; an unknown one is a 404."""
    asked = request.args.get(word, "")
    found = next((kept for kept in known if kept.id == asked), None)
    if asked and found is None:
        abort(404)
    return found


def _page(
    nr: int, wrench_form: WrenchForm, adapter_form: AdapterForm, problems: tuple[Problem, ...] = ()
) -> str:
    with reading() as session:
        snapshot(session, nr)
        owned, known = wrenches(session), adapters(session)
    if any(not problem.where for problem in problems):
        _catch_up(wrench_form.wrench, wrench_form.rev, {kept.id: kept.rev for kept in owned})
        _catch_up(adapter_form.adapter, adapter_form.rev, {kept.id: kept.rev for kept in known})
    day = today()
    return render_template(
        "torque/wrenches/index.html",
        wrenches=[(kept, *_words(kept.wrench, day)) for kept in owned],
        adapters=[(kept, _adapter_text(kept.adapter)) for kept in known],
        wrench_form=wrench_form,
        adapter_form=adapter_form,
        problems=problems,
        day=day.isoformat(),
    )


def _catch_up(which: HiddenField, rev: HiddenField, there: dict[str, int]) -> None:
    """Let what was typed be sent again: over what stands there now, or as new where that is gone."""
    which.data = which.data if which.data in there else ""
    rev.data = str(there.get(which.data, 0))


def _words(wrench: Wrench, day: date) -> tuple[str, str]:
    """Return range, type and lever of a wrench in words, and when it was last checked."""
    unit = "°" if wrench.type is WrenchType.ANGLE else f" {wrench.unit}"
    scale = f"{plain(wrench.low)} to {plain(wrench.high)}{unit}, every {plain(wrench.graduation)}{unit}"
    lever = f" · grip at {wrench.lever_mm:g} mm" if wrench.lever_mm else ""
    if wrench.checked_on is None:
        checked = "never checked: overdue"
    elif is_overdue(wrench, day):
        checked = f"last checked {wrench.checked_on}: overdue, more than 12 months ago"
    else:
        checked = f"last checked {wrench.checked_on}"
    return f"{scale} · {_TYPE[wrench.type]}{lever}", checked


def _adapter_text(adapter: Adapter) -> str:
    lies = {0.0: "in line", 90.0: "square", 180.0: "pointing back"}
    return f"{adapter.length_mm:g} mm, {lies.get(adapter.angle_deg, f'{adapter.angle_deg:g}°')}"


def _filled_wrench(kept: KeptWrench | None) -> WrenchForm:
    if kept is None:
        return WrenchForm(formdata=None)
    wrench = kept.wrench
    return WrenchForm(
        formdata=None,
        name=wrench.name,
        low=plain(wrench.low),
        high=plain(wrench.high),
        unit=wrench.unit.value,
        graduation=plain(wrench.graduation),
        type=wrench.type.value,
        lever_mm=f"{wrench.lever_mm:g}" if wrench.lever_mm else "",
        checked_on=wrench.checked_on.isoformat() if wrench.checked_on else "",
        wrench=kept.id,
        rev=str(kept.rev),
    )


def _filled_adapter(kept: KeptAdapter | None) -> AdapterForm:
    if kept is None:
        return AdapterForm(formdata=None)
    return AdapterForm(
        formdata=None,
        adapter_name=kept.adapter.name,
        length_mm=f"{kept.adapter.length_mm:g}",
        angle_deg=f"{kept.adapter.angle_deg:g}",
        adapter=kept.id,
        rev=str(kept.rev),
    )


@bp.post("/b/<int:nr>/wrenches")
def save(nr: int) -> ResponseReturnValue:
    """Write a wrench, new or known."""
    form = WrenchForm()
    problems: tuple[Problem, ...] = ()
    if form.validate():
        with unit_of_work() as session:
            snapshot(session, nr)
            problems = save_wrench(session, form.read(), _change(form, form.wrench), today=today())
        if not problems:
            flash(f"«{form.read().name}» is in the drawer.", "done")
            return redirect(url_for("wrenches.index", nr=nr))
    return _page(nr, form, AdapterForm(formdata=None), _shown_at(form, problems)), status_of(*problems)


@bp.post("/b/<int:nr>/wrenches/adapter")
def save_adapter_submit(nr: int) -> ResponseReturnValue:
    """Write an adapter, new or known."""
    form = AdapterForm()
    problems: tuple[Problem, ...] = ()
    if form.validate():
        with unit_of_work() as session:
            snapshot(session, nr)
            problems = save_adapter(session, form.read(), _change(form, form.adapter))
        if not problems:
            flash(f"«{form.read().name}» is in the drawer.", "done")
            return redirect(url_for("wrenches.index", nr=nr))
    return _page(nr, WrenchForm(formdata=None), form, _shown_at(form, problems)), status_of(*problems)


def _change(form: WrenchForm | AdapterForm, which: HiddenField) -> Edit:
    of = str(which.data or "")
    return Edit(writer(), now_text(), of, read_number(str(form.rev.data or "")) if of else 0)


def _shown_at(form: WrenchForm | AdapterForm, problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """Put each problem at its field, and return all of them for the head of the page."""
    for problem in problems:
        field = _FIELD.get(problem.where, problem.where) if isinstance(form, AdapterForm) else problem.where
        if field:
            form[field].errors = (*form[field].errors, problem.message)
    wrong = tuple(Problem("field", str(f.errors[0]), f.id) for f in form if f.errors)
    return (*(problem for problem in problems if not problem.where), *wrong)


@bp.post("/b/<int:nr>/wrenches/remove")
def remove_submit(nr: int) -> ResponseReturnValue:
    """Take a wrench or an adapter out of the drawer; its lines stay in the journal."""
    wrench, adapter = request.form.get("wrench", ""), request.form.get("adapter", "")
    change = Edit(writer(), now_text(), adapter or wrench)
    with unit_of_work() as session:
        snapshot(session, nr)
        gone = remove(session, AdapterRow, change) if adapter else remove(session, WrenchRow, change)
    flash(f"«{gone}» is out of the drawer." if gone else "It was gone already.", "done")
    return redirect(url_for("wrenches.index", nr=nr))
