"""The application: made from an open folder."""

import logging
from collections.abc import Callable, Sequence
from datetime import timedelta
from functools import lru_cache
from typing import Any

from flask import Flask, g, jsonify, render_template, request, url_for
from flask_wtf.csrf import CSRFError, CSRFProtect
from markupsafe import Markup
from werkzeug.exceptions import HTTPException
from werkzeug.routing import IntegerConverter
from werkzeug.wrappers import Response

from app.core.days import day_text
from app.core.items.roles import Way
from app.core.items.step_names import step_instruction, step_name
from app.core.money import money_text
from app.core.tags import shown
from app.core.torque.acts import told_text
from app.core.wording import gates as gate_sentences
from app.core.wording import items as sentences
from app.core.wording import order as order_sentences
from app.core.wording.counts import counted
from app.store.db.files import bundled
from app.store.folder import Folder
from app.store.snapshots import Snapshots
from app.web.bay import bay
from app.web.bay.view import count_width, label_lines
from app.web.builds import builds, crew, desk, login, printing, steps, zones
from app.web.cards import cards, install_exceptions, patterns
from app.web.cards.torque_view import view
from app.web.gates import gates, returning
from app.web.intake import entries
from app.web.ledger import bulk, engines, leaving, ledger, undecided
from app.web.lists import lists
from app.web.phases import phases, route
from app.web.places import find, places
from app.web.procurement import away, outstanding, to_get
from app.web.putback import now, plan, putback
from app.web.server.serving import BODY_LIMIT
from app.web.site import moved, scripts
from app.web.site.access import guard
from app.web.site.compression import compress
from app.web.site.context import AppState, app_state, today
from app.web.site.navigation import further_pages, main_pages
from app.web.site.tape import tape_of
from app.web.site.wording import cautions, in_dialect, sign_of, unbroken, when
from app.web.takeoff import describe, findings, photos, takeoff, viewer
from app.web.torque import reached, readings, torques, wrenches

NOUNS = (
    moved,
    scripts,
    login,
    bay,
    ledger,
    builds,
    takeoff,
    entries,
    photos,
    viewer,
    cards,
    patterns,
    describe,
    putback,
    now,
    install_exceptions,
    steps,
    zones,
    places,
    wrenches,
    find,
    printing,
    crew,
    desk,
    torques,
    readings,
    reached,
    plan,
    gates,
    phases,
    route,
    returning,
    bulk,
    outstanding,
    to_get,
    away,
    leaving,
    engines,
    undecided,
    findings,
    lists,
)


class _Number(IntegerConverter):
    """A running number in an address; a longer one is nowhere, and the database could not hold it."""

    regex = r"\d{1,9}"


class _App(Flask):
    """Scripts are asked for anew by every page: after an update, none of them meets a page of another age."""

    def get_send_file_max_age(self, filename: str | None) -> int | None:
        """Return for how long a browser may keep a file without asking, [s]."""
        return 0 if filename and filename.endswith(".js") else super().get_send_file_max_age(filename)


def create_app(
    folder: Folder,
    *,
    port: int,
    start_key: str,
    addresses: Callable[[], Sequence[str]],
    demo: bool = False,
) -> Flask:
    """Return the application.

    Args:
        folder: An open data folder.
        port: The port it is served at.
        start_key: The one-time key that lets the laptop's browser in.
        addresses: Gives the laptop's numbers now.
        demo: Whether to say on each page that the build is invented.
    """
    app = _App("putback", template_folder=str(bundled("templates")), static_folder=str(bundled("static")))
    app.config.update(
        SECRET_KEY=folder.secret,
        SESSION_COOKIE_NAME=f"putback_s_{folder.id[:12]}",
        SESSION_COOKIE_SAMESITE="Lax",
        SESSION_COOKIE_HTTPONLY=True,
        PERMANENT_SESSION_LIFETIME=timedelta(days=400),
        SESSION_REFRESH_EACH_REQUEST=False,
        WTF_CSRF_TIME_LIMIT=None,
        MAX_CONTENT_LENGTH=BODY_LIMIT,
        SEND_FILE_MAX_AGE_DEFAULT=3600,
    )
    names = frozenset({folder.name, *folder.printed_names})
    app.extensions["putback"] = AppState(folder, Snapshots(), port, start_key, addresses, demo, names)
    app.url_map.converters["int"] = _Number
    guard(app)
    compress(app)
    app.before_request(lists.make_room)
    CSRFProtect(app)
    for noun in NOUNS:
        app.register_blueprint(noun.bp)
    _teach_templates(app)
    app.register_error_handler(CSRFError, _csrf_failed)
    app.register_error_handler(HTTPException, _failed)
    app.register_error_handler(Exception, _broke)
    return app


def _teach_templates(app: Flask) -> None:
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.jinja_env.filters.update(
        shown=shown,
        in_dialect=in_dialect,
        label_lines=label_lines,
        count_width=count_width,
        when=when,
        unbroken=unbroken,
        torque_view=view,
        told_text=lambda said: told_text(said.told, said.reached, said.setting),
        cautions=cautions,
        step_back=lambda step: step_name(step, Way.BACK),
        how=lambda step, way: step_instruction(step, Way(way)),
        title_of=lambda item: in_dialect(sentences.item_title(item)),
        state_text=lambda entry: in_dialect(sentences.state_text(entry.item, entry.state_key)),
        why_text=lambda entry: sentences.open_text(entry.item, entry.reasons, entry.state_key),
        reason_text=lambda reason, item: sentences.reason_text(item, reason),
        act_text=lambda act, item: sentences.act_text(item, act),
        line_text=sentences.line_text,
        sign_of=sign_of,
        gate_text=gate_sentences.gate_text,
        ahead_text=gate_sentences.ahead_text,
        guard_text=gate_sentences.guard_text,
        gate_headline=gate_sentences.gate_headline,
        answer_text=gate_sentences.answer_text,
        kind_text=lambda kind: sentences.KIND_WORDS[kind],
        pieces_text=sentences.pieces_text,
        money=money_text,
        counted=counted,
        day=lambda day: day_text(day, today()),
        unavailable_text=lambda waiting, item: order_sentences.unavailable_text(item, waiting, today()),
    )
    app.jinja_env.globals["mark_once"] = _mark_once(app)
    app.jinja_env.globals["asset"] = lambda path: url_for("static", filename=path)
    app.context_processor(_page)


def _mark_once(app: Flask) -> Callable[[str, str, str], Markup]:
    """Return what draws a state's sign: each that a long page has many of is drawn once and kept."""

    @lru_cache(maxsize=1024)
    def drawn(state: str, kind: str, label: str) -> Markup:
        parts: Any = app.jinja_env.get_template("site/parts/marks.html").module
        return Markup(parts.mark(state, kind, label))  # noqa: S704 - a macro's output, escaped by it

    return drawn


def _page() -> dict[str, object]:
    """Return what every page knows."""
    build = g.get("build")
    who = g.get("visitor")
    known = {
        "folder_id": app_state().folder.id,
        "demo": app_state().demo,
        "outbox_href": "/outbox",
        "origin": app_state().origin,
        "device": who,
        "me": who.name if who else "",
    }
    if build:
        known |= {
            "build": build,
            "open_count": len(build.open),
            "item_count": build.taken_off,
            "tape": tape_of(build.taken_off, len(build.open)),
            "nav": main_pages(build.nr, request.endpoint or "", may_write=who is not None and who.may_write),
            "further_pages": further_pages(build.nr, request.endpoint or ""),
        }
    return known


def _csrf_failed(error: CSRFError) -> tuple[str | Response, int]:
    return _page_of_error(
        400,
        "This form is from an older visit",
        f"Go back, reload the page, send again. ({error.description})",
    )


def _failed(error: HTTPException) -> tuple[str | Response, int] | Response:
    code = error.code or 500
    if code < 400:  # noqa: PLR2004 - HTTP: a redirect, not a failure
        return error.get_response()
    title, text = _ERRORS.get(code, ("Something is wrong with this request", ""))
    said = error.description if code in {400, 403} and error.description else text
    return _page_of_error(code, title, said)


_ERRORS = {
    400: ("This request cannot be read", "Go back, reload the page and try again."),
    401: (
        "This phone has not been let in",
        (
            "Ask the owner: Crew, then «Let a phone in», and scan the code on the laptop's screen. "
            "Anything waiting to be sent stays on this phone."
        ),
    ),
    403: ("Not for this phone", "Ask the owner."),
    404: ("Nothing is at this address", "It may have been typed wrongly, or belong to another build."),
    405: ("This address cannot be used in this way", "Go back and use the page's own button."),
    413: ("Too large", "One photo may have 60 MB. Take it again with the camera's ordinary setting."),
}


def _broke(error: Exception) -> tuple[str | Response, int]:
    """Answer a fault of ours: the trace goes to the log, the page says what to do."""
    logging.getLogger("putback").error("a page failed", exc_info=error)
    return _page_of_error(
        500, "This page failed", "Nothing was half-written. Try again; the terminal has the details."
    )


def _page_of_error(code: int, title: str, text: str) -> tuple[str | Response, int]:
    if request.endpoint == "entries.receive":  # its reader is a script
        return jsonify(problem=f"{title}. {text}", code=str(code), where=""), code
    return render_template("site/error.html", title=title, text=text), code
