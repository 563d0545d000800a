"""Letting in: the laptop's one-time start link, a phone's pairing code, and the sign that a name answers."""

from hmac import compare_digest

from flask import Blueprint, abort, redirect, render_template, request
from flask.typing import ResponseReturnValue
from wtforms import StringField
from wtforms.validators import DataRequired, Length

from app.store import crew
from app.web.site.access import allowed_hosts, give_key
from app.web.site.context import app_state, now, public, reading, unit_of_work
from app.web.site.form import Form

bp = Blueprint("login", __name__)


class NameForm(Form):
    """Who this is."""

    name = StringField(
        "Your name",
        [DataRequired("Say who you are: the crew reads it beside what you did."), Length(max=40)],
    )


@bp.get("/knock")
@public
def knock() -> ResponseReturnValue:
    """Say how to be let in."""
    return render_template("builds/login/knock.html"), 401


@bp.get("/start/<key>")
@public
def start(key: str) -> ResponseReturnValue:
    """Show the button that lets the laptop's own browser in; nothing is spent yet."""
    return render_template("builds/login/start.html", form=NameForm(), spent=not _fits(key))


@bp.post("/start/<key>")
@public
def start_submit(key: str) -> ResponseReturnValue:
    """Spend the one-time key."""
    form = NameForm()
    if not _fits(key):
        return render_template("builds/login/start.html", form=form, spent=True), 403
    if not form.validate():
        return render_template("builds/login/start.html", form=form, spent=False), 422
    app_state().start_key = ""
    with unit_of_work() as session:
        _, device_key = crew.let_in(
            session, name=(form.name.data or "").strip(), label="this computer", role="owner", now=now()
        )
    return give_key(redirect("/"), device_key)


def _fits(key: str) -> bool:
    return bool(app_state().start_key) and compare_digest(key.encode(), app_state().start_key.encode())


@bp.get("/pair/<token>")
@public
def pair(token: str) -> ResponseReturnValue:
    """Show the button that lets a phone in: looking does not spend the code, so previews do no harm."""
    with reading() as session:
        found = crew.pairing(session, token, now())
        people = [person.name for person in crew.people(session)]
    status = 200 if found else 403
    return render_template(
        "builds/login/pair.html",
        token=token,
        form=NameForm(),
        pairing=found,
        people=people,
        origin=app_state().origin,
    ), status


@bp.post("/pair/<token>")
@public
def pair_submit(token: str) -> ResponseReturnValue:
    """Spend a pairing code and let the phone in."""
    form = NameForm()
    if not form.validate():
        return pair_again(token, form)
    label = _device_label(request.headers.get("User-Agent", ""))
    with unit_of_work() as session:
        found = crew.spend_pairing(
            session, token, name=(form.name.data or "").strip(), label=label, now=now()
        )
    if found is None:
        return render_template(
            "builds/login/pair.html", token=token, form=form, pairing=None, people=[], origin=""
        ), 403
    return give_key(redirect("/"), found[1])


def pair_again(token: str, form: NameForm) -> ResponseReturnValue:
    """Show the pairing page with what was wrong."""
    with reading() as session:
        found = crew.pairing(session, token, now())
    return render_template(
        "builds/login/pair.html", token=token, form=form, pairing=found, people=[], origin=""
    ), 422


def _device_label(agent: str) -> str:
    """Return a short name for a browser, for the list of who was let in."""
    known = ("iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux")
    return next((word for word in known if word in agent), "a browser")


@bp.get("/here")
@public
def here() -> ResponseReturnValue:
    """Answer a phone that tries whether the name reaches this laptop; only our own pages may read it."""
    origin = request.headers.get("Origin", "")
    host = origin.partition("://")[2].rpartition(":")[0] or origin.partition("://")[2]
    if origin and host not in allowed_hosts(app_state()):
        abort(403)
    return (
        app_state().folder.id,
        200,
        {"Access-Control-Allow-Origin": origin or "null", "Content-Type": "text/plain; charset=utf-8"},
    )
