"""A fact from a plain form: the same entry that a phone's outbox would send."""

import json
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from flask import flash, request

from app.core.problem import Problem
from app.store.db.clock import new_id
from app.web.intake.entries import no_number, take_in
from app.web.site.context import app_state

if TYPE_CHECKING:
    from werkzeug.datastructures import MultiDict


def fact_body(form: "MultiDict[str, str]") -> dict[str, Any]:
    """Return a line's body from a form's fields: `body` holds JSON, `body.a` and `body.a.b` add to it.

    A field that repeats, or that is named in `lists`, is a list. What is no JSON is an empty body.
    """
    body = read_object(form.get("body", "{}"))
    for name in form:
        if name.startswith("body."):
            _put(body, name.split(".")[1:], form.getlist(name), is_list=name in form.getlist("lists"))
    for name in form.getlist("lists"):
        body.setdefault(name.removeprefix("body."), [])
    return body


def read_object(text: str) -> dict[str, Any]:
    """Return a JSON object that a hidden field holds; an empty one where it holds something else."""
    try:
        read = json.loads(text, parse_constant=no_number)
    except (ValueError, RecursionError):
        return {}
    return read if isinstance(read, dict) else {}


def _put(body: dict[str, Any], path: list[str], values: list[str], *, is_list: bool) -> None:
    inner = body
    for key in path[:-1]:
        held = inner.setdefault(key, {})
        inner = held if isinstance(held, dict) else {}
    inner[path[-1]] = values if is_list else values[0].strip()


def send_fact(build: str, subject: str, *, done: Callable[[str, Mapping[str, Any]], str]) -> Problem | None:
    """Take a form in as one line about a subject and say that it landed, or return why it did not."""
    body, verb = fact_body(request.form), request.form.get("verb", "")
    answer = take_in(
        {
            "id": request.form.get("line_id") or new_id(),
            "type": "line",
            "folder": app_state().folder.id,
            "build": build,
            "subject": subject,
            "verb": verb,
            "body": body,
            "after": request.form.getlist("after"),
            "person": request.form.get("person", ""),
        },
        None,
    )
    if "problem" in answer.body:
        return Problem(
            str(answer.body.get("code", "")), str(answer.body["problem"]), str(answer.body.get("where", ""))
        )
    flash(done(verb, body), "done")
    return None
