"""What a form that says one fact says, as the body of a line: `body` holds JSON, `body.a.b` adds to it."""

import json
from typing import Any

from app.core.intake.fields import Fields

FIELD_NAMES = frozenset({"verb", "body", "lists", "after", "person", "line_id", "back", "csrf_token", "who"})
"""Every field of such a form in any release up to this one, besides those that begin with `body.`."""


def fact_body(fields: Fields) -> dict[str, Any]:
    """Return a line's body from a form's fields: `body` holds JSON, `body.a` and `body.a.b` add to it.

    A field that repeats, or that is named in `lists`, is a list. What is no JSON is an empty body.
    """
    body = read_object(fields.get("body", "{}"))
    lists = fields.all("lists")
    for name in dict.fromkeys(key for key, _ in fields.pairs):
        if name.startswith("body."):
            _put(body, name.split(".")[1:], fields.all(name), is_list=name in lists)
    for name in lists:
        body.setdefault(name.removeprefix("body."), [])
    return body


def read_object(text: str) -> dict[str, Any]:
    """Return a JSON object that a hidden field holds; an empty one where it holds something else."""
    try:
        read = json.loads(text, parse_constant=no_number)
    except (ValueError, RecursionError):
        return {}
    return read if isinstance(read, dict) else {}


def no_number(text: str) -> float:
    """Refuse what Python reads as a number and no other JSON does.

    Raises:
        ValueError: Always.
    """
    raise ValueError(text)


def _put(body: dict[str, Any], path: list[str], values: list[str], *, is_list: bool) -> None:
    inner = body
    for key in path[:-1]:
        held = inner.setdefault(key, {})
        inner = held if isinstance(held, dict) else {}
    inner[path[-1]] = values if is_list else values[0].strip()
