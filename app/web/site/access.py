"""Who gets in: the Host check, the device key, the roles, and the headers of every answer."""

from flask import Flask, Response, abort, current_app, g, redirect, request, session
from werkzeug.wrappers import Response as AnyResponse

from app.store.crew import visitor_by_key
from app.web.site.context import AppState, app_state, reading

KEY_LASTS = 400 * 24 * 3600
"""How long a browser keeps its key, [s]: as long as browsers allow."""


def guard(app: Flask) -> None:
    """Put the checks before every request and the headers on every answer."""
    app.before_request(_check_host)
    app.before_request(_check_visitor)
    app.after_request(_add_headers)


def allowed_hosts(at: AppState) -> frozenset[str]:
    """Return the hosts under which this folder may be asked: its name, every printed name, its numbers."""
    return frozenset(
        {"127.0.0.1", "localhost", "[::1]", *at.addresses(), *(f"{n.lower()}.local" for n in at.names)}
    )


def cookie_name(at: AppState) -> str:
    """Return the name of the device key's cookie: each folder has its own."""
    return f"putback_{at.folder.id[:12]}"


def give_key(response: AnyResponse, key: str) -> AnyResponse:
    """Put a device key into the browser and begin a fresh session."""
    session.clear()
    session.permanent = True
    response.set_cookie(
        cookie_name(app_state()), key, max_age=KEY_LASTS, httponly=True, samesite="Lax", path="/"
    )
    return response


def _host_of(authority: str) -> str:
    host = authority.lower()
    if host.startswith("["):
        return host.partition("]")[0] + "]"
    return host.partition(":")[0].rstrip(".")


def _check_host() -> None:
    """Refuse a page that reached this machine under a name that is not its own."""
    hosts = allowed_hosts(app_state())
    if _host_of(request.headers.get("Host", "")) not in hosts:
        abort(
            400, "This address does not belong to this Putback. Open it by the name or number on its screen."
        )
    origin = request.headers.get("Origin", "")
    foreign = origin not in {"", "null"} and _host_of(origin.partition("://")[2]) not in hosts
    if request.method == "POST" and foreign:
        abort(400, "This form came from another site; nothing was changed.")


def _check_visitor() -> AnyResponse | None:
    view = current_app.view_functions.get(request.endpoint or "")
    with reading() as db:
        who = visitor_by_key(db, request.cookies.get(cookie_name(app_state()), ""))
    g.visitor = who
    if request.endpoint == "static" or getattr(view, "is_public", False):
        return None
    if who is None or (who.shut and not getattr(view, "checks_role_itself", False)):
        if request.method == "GET" and request.endpoint == "bay.home":
            return redirect("/knock")
        abort(401)
    if getattr(view, "is_owner_only", False) and not who.is_owner:
        abort(403, "Only the owner can do this.")
    if request.method == "POST" and not who.may_write and not getattr(view, "checks_role_itself", False):
        abort(403, "This phone was let in to look, not to mark. Ask the owner for a helper's code.")
    return None


def _add_headers(response: Response) -> Response:
    origin = app_state().origin
    headers = response.headers
    headers.setdefault(
        "Content-Security-Policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
        f"connect-src 'self' {origin}; form-action 'self'; frame-ancestors 'none'; base-uri 'none'; "
        "object-src 'none'",
    )
    headers.setdefault("X-Content-Type-Options", "nosniff")
    headers.setdefault("Referrer-Policy", "same-origin")
    headers.setdefault("X-Frame-Options", "DENY")
    if request.endpoint != "static":
        headers.setdefault(
            "Cache-Control", "private, no-cache" if response.headers.get("ETag") else "no-store"
        )
    return response
