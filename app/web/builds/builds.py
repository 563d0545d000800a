"""Builds: made, edited."""

from flask import Blueprint, flash, redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from wtforms import HiddenField, RadioField, SelectField, StringField
from wtforms.validators import DataRequired, InputRequired, Length

from app.core.money import CURRENCIES
from app.store.plan import builds
from app.web.phases.route import RouteFields
from app.web.site.context import now_text, owner_only, reading, snapshot, unit_of_work, writer
from app.web.site.form import Form, choices, read_number, status_of

bp = Blueprint("builds", __name__)

LAYOUT_WORDS = [
    ("longitudinal_v", "Lengthwise, V"),
    ("longitudinal_inline", "Lengthwise, in line"),
    ("flat_front", "Lengthwise, flat"),
    ("transverse", "Crosswise, in line"),
    ("transverse_v", "Crosswise, V"),
    ("flat_rear", "In the rear or the middle"),
]
UNIT_WORDS = [("N·m", "N·m"), ("lb·ft", "lb·ft and lb·in"), ("kgf·m", "kgf·m")]
WORD_WORDS = [("us", "US: hood, ground, wrench"), ("uk", "UK: bonnet, earth, spanner")]


class BuildForm(RouteFields):
    """A new build."""

    title = StringField(
        "Title", [DataRequired("Give the job a name, such as «Blue van, other engine»."), Length(max=80)]
    )
    vehicle = StringField("Vehicle, in your own words", [Length(max=200)])
    layout = RadioField(
        "How the engine sits",
        choices=choices(LAYOUT_WORDS),
        validators=[InputRequired("Choose how the engine sits: it decides the drawing.")],
    )
    units = RadioField("Torque units", choices=choices(UNIT_WORDS), default="N·m")
    dialect = RadioField("Words", choices=choices(WORD_WORDS), default="us")


class SettingsForm(Form):
    """What may change later; the layout may not, because its zones are in use."""

    title = BuildForm.title
    vehicle = BuildForm.vehicle
    units = BuildForm.units
    dialect = BuildForm.dialect
    currency = SelectField("Prices in", choices=choices((code, code) for code in CURRENCIES))
    rev = HiddenField()


@bp.get("/builds/new")
@owner_only
def create() -> ResponseReturnValue:
    """Show the form for a build."""
    return render_template("builds/new.html", form=BuildForm())


@bp.post("/builds/new")
@owner_only
def create_submit() -> ResponseReturnValue:
    """Make a build with its layout's zones and starter steps."""
    form = BuildForm()
    if not form.validate():
        return render_template("builds/new.html", form=form), 422
    with unit_of_work() as session:
        build = builds.new_build(
            session,
            title=(form.title.data or "").strip(),
            vehicle=(form.vehicle.data or "").strip(),
            layout_key=form.layout.data,
            units=form.units.data,
            dialect=form.dialect.data,
            swap=form.swap(),
            writer=writer(),
            now=now_text(),
        )
        nr = build.nr
    return redirect(url_for("bay.show", nr=nr))


@bp.get("/b/<int:nr>/settings")
@owner_only
def settings(nr: int) -> ResponseReturnValue:
    """Show a build's settings."""
    with reading() as session:
        build = snapshot(session, nr)
    return render_template("builds/settings.html", form=SettingsForm(obj=build))


@bp.post("/b/<int:nr>/settings")
@owner_only
def settings_submit(nr: int) -> ResponseReturnValue:
    """Write a build's settings."""
    with unit_of_work() as session:
        build = snapshot(session, nr)
        form = SettingsForm(obj=build)
        problem = None
        if form.validate():
            values = {key: form[key].data for key in ("title", "vehicle", "units", "dialect", "currency")}
            problem = builds.edit_build(
                session,
                build.id,
                values,
                rev=read_number(form.rev.data or ""),
                writer=writer(),
                now=now_text(),
            )
            if problem is None:
                flash("Settings kept.", "done")
                return redirect(url_for("bay.show", nr=nr))
            form.rev.data = str(build.rev)
        return render_template("builds/settings.html", form=form, problem=problem), status_of(
            *filter(None, [problem])
        )
