"""How the engine leaves and how one comes back: asked when a build is made, and changed until it is out."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from flask import Blueprint, flash, redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from wtforms import HiddenField, RadioField, StringField
from wtforms.validators import Length, Optional

from app.core.builds.snapshot import Snapshot
from app.core.phases.routes import Route
from app.core.phases.swap import Swap, change_problem, chosen_swap
from app.core.phases.units import UnitKind, Units
from app.core.wording.phases import ROUTE_BACK, ROUTE_OUT
from app.store.plan.builds import set_swap
from app.web.site.context import now_text, owner_only, reading, snapshot, unit_of_work, writer
from app.web.site.form import Form, choices, read_number, status_of

bp = Blueprint("route", __name__)
_OUT = choices((route.value, text) for route, text in ROUTE_OUT.items())
_BACK = choices((route.value, text) for route, text in ROUTE_BACK.items())
_YES_NO = choices((("yes", "Yes"), ("no", "No")))


_ASKED: Mapping[str, str] = MappingProxyType(
    {
        "out": "Choose how the engine comes out.",
        "back": "Choose how an engine goes in.",
        "new_engine": "Say whether another engine goes in.",
        "gearbox": "Say whether there is a gearbox.",
    }
)


class RouteFields(Form):
    """The four answers that make a swap; none is given for anybody, and all may stay open."""

    out = RadioField("How does the engine come out?", choices=_OUT, validators=[Optional()])
    back = RadioField("How does an engine go in?", choices=_BACK, validators=[Optional()])
    new_engine = RadioField("Does another engine go in?", choices=_YES_NO, validators=[Optional()])
    gearbox = RadioField("Does the engine bolt to a gearbox?", choices=_YES_NO, validators=[Optional()])

    def swap(self) -> Swap | None:
        """Return what was chosen; `None` while an answer is open: nothing is taken for said."""
        said = (self.out.data, self.back.data, self.new_engine.data, self.gearbox.data)
        if not all(said):
            return None
        return chosen_swap(
            Route(self.out.data),
            Route(self.back.data),
            new_engine=self.new_engine.data == "yes",
            gearbox=self.gearbox.data == "yes",
        )


class RouteForm(RouteFields):
    """The same on a page of its own, where each is to be answered; and what the engines are called."""

    old_name = StringField("What you call the engine that comes out", [Length(max=60)])
    new_name = StringField("What you call the engine that goes in", [Length(max=60)])
    rev = HiddenField()

    def validate(self, extra_validators: Mapping[str, Any] | None = None) -> bool:
        """Tell whether all is answered; each field that is not says what to do."""
        is_valid = super().validate(extra_validators)
        for name in (name for name in _ASKED if not self[name].data):
            self[name].errors = (*self[name].errors, _ASKED[name])
            is_valid = False
        return is_valid

    def named(self, chosen: Swap) -> Swap:
        """Return a swap whose engines are called as was typed; one that returns has one name."""
        names = {
            chosen.units.incoming(): (self.new_name.data or "").strip(),
            chosen.units.outgoing(): (self.old_name.data or "").strip(),
        }
        known = tuple(replace(unit, name=names.get(unit.id, "")) for unit in chosen.units.known)
        return replace(chosen, units=Units(known))


@bp.get("/b/<int:nr>/route")
@owner_only
def show(nr: int) -> ResponseReturnValue:
    """Show how the engine leaves and comes back, as it was chosen."""
    with reading() as session:
        build = snapshot(session, nr)
    return render_template("phases/route.html", form=_form(build), problem=None)


def _form(build: Snapshot) -> RouteForm:
    form = RouteForm()
    form.rev.data = str(build.rev)
    if said := build.said_swap:
        engines = {unit.id: unit.name for unit in said.units.of_kind(UnitKind.ENGINE)}
        form.out.data, form.back.data = said.out.value, said.back.value
        form.new_engine.data = "yes" if len(engines) > 1 else "no"
        form.gearbox.data = "yes" if said.units.of_kind(UnitKind.GEARBOX) else "no"
        form.old_name.data = engines.get(said.units.outgoing(), "")
        form.new_name.data = engines.get(said.units.incoming(), "") if len(engines) > 1 else ""
    return form


@bp.post("/b/<int:nr>/route")
@owner_only
def submit(nr: int) -> ResponseReturnValue:
    """Write how the engine leaves and comes back."""
    form = RouteForm()
    problem = None
    with unit_of_work() as session:
        build = snapshot(session, nr)
        chosen = form.swap() if form.validate() else None
        if chosen is not None:
            swap = replace(form.named(chosen), is_asked=build.swap.is_asked)
            places = {unit: state.place for unit, state in build.phases.states.items()}
            rev = read_number(form.rev.data or "")
            problem = change_problem(build.swap, swap, places) or set_swap(
                session, build.id, swap, rev=rev, writer=writer(), now=now_text()
            )
            if problem is None:
                flash("Saved. The checks and the order go by this now.", "done")
                return redirect(url_for("phases.show", nr=nr))
            form.rev.data = str(build.rev)
    shown = render_template("phases/route.html", form=form, problem=problem)
    return shown, status_of(*filter(None, [problem]))
