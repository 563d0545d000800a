"""The base of all forms: a typed door to the form library."""

from typing import Any

from flask_wtf import FlaskForm


class Form(FlaskForm):
    """A form with a token against forged requests."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[no-untyped-call] # the library has no types
