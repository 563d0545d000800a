"""The base of all forms: a typed door to the form library."""

from collections.abc import Iterable
from typing import Any

from flask_wtf import FlaskForm
from wtforms import SelectChoice  # type: ignore[attr-defined] # newer than the library's stubs

from app.core.intake import fields
from app.core.problem import Problem


class Form(FlaskForm):
    """A form with a token against forged requests."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[no-untyped-call] # the library has no types


read_number = fields.read_number


def choices(pairs: Iterable[tuple[str, str]]) -> list[Any]:
    """Return (value, words) pairs as the options of a select or of radio buttons."""
    return [SelectChoice(value, words) for value, words in pairs]


class RefusedError(Exception):
    """What was typed cannot be written as it is: nothing of it is."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__(problems[0].message)
        self.problems = problems
