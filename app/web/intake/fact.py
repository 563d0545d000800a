"""A fact from a plain form: the same entry that a phone's outbox would send."""

from collections.abc import Callable, Mapping
from typing import Any

from flask import flash

from app.core.intake.facts import fact_body
from app.core.problem import Problem
from app.web.intake.form import sent_fields, take_form


def send_fact(build: str, subject: str, *, done: Callable[[str, Mapping[str, Any]], str]) -> Problem | None:
    """Take a form in as one line about a subject and say that it landed, or return why it did not."""
    fields = sent_fields()
    answer = take_form("fact", build, subject=subject, entry_id=fields.get("line_id"))
    if "problem" in answer.body:
        return Problem(
            str(answer.body.get("code", "")), str(answer.body["problem"]), str(answer.body.get("where", ""))
        )
    flash(str(answer.body.get("quarantined") or done(fields.get("verb"), fact_body(fields))), "done")
    return None
