"""The base of all forms: typed access to the form library."""

from collections.abc import Iterable
from typing import Any

from flask_wtf import FlaskForm
from wtforms import SelectChoice  # type: ignore[attr-defined] # newer than the library's stubs

from app.core.ids import is_id
from app.core.intake import fields
from app.core.problem import OVERTAKEN, Problem
from app.store.db.clock import new_id


class Form(FlaskForm):
    """A form with a token against forged requests."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[no-untyped-call] # the library has no types


read_number = fields.read_number


def choices(pairs: Iterable[tuple[str, str]]) -> list[Any]:
    """Return (value, words) pairs as the options of a select or of radio buttons."""
    return [SelectChoice(value, words) for value, words in pairs]


def sent_id(typed: str | None) -> str:
    """Return the id that a form carries, so that one sent twice writes once; a new one where it has none."""
    return typed if typed and is_id(typed) else new_id()


class RefusedError(Exception):
    """What was typed cannot be written as it is: nothing of it is."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__(problems[0].message)
        self.problems = problems


def status_of(*problems: Problem) -> int:
    """Return the HTTP status of a page that says these problems: 409 where somebody else was faster."""
    return 409 if any(problem.code in OVERTAKEN for problem in problems) else 422
