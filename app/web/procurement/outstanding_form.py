"""The form of one thing that is waited for: its fields by category, and what was typed in them."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from wtforms import Field, HiddenField, SelectField, StringField
from wtforms.validators import Length

from app.core.days import read_day
from app.core.money import plain_amount, read_money
from app.core.problem import Problem
from app.core.procurement.outstanding import TREATMENTS, Outstanding
from app.web.site.form import Form, choices

TREATMENT_WORDS = [
    ("", "choose"),
    ("clean", "clean"),
    ("refurbish", "refurbish"),
    ("machine", "machine"),
    ("adapt", "adapt: altered to fit"),
]
LABELS: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "away": {
            "need": "What is done to it",
            "what": "The work asked, in words",
            "at_whom": "At whom (empty: on your own bench)",
            "count": "How many pieces must return",
            "since": "Away since",
            "due": "Due back",
            "price": "Price",
        },
        "get": {
            "what": "What to ask for",
            "count": "How many",
            "at_whom": "Shop",
            "price": "Price of all of it",
            "since": "Ordered on (empty: not yet)",
            "due": "Due",
        },
        "soak": {"what": "What soaks, in what", "since": "Since", "due": "Ready on"},
        "core": {
            "at_whom": "To whom",
            "due": "Return by",
            "price": "Deposit that comes back",
            "count": "Pieces",
        },
        "sale": {"what": "What is said about it", "at_whom": "Buyer", "price": "Price", "due": "Sell by"},
    }
)
"""The fields of each category in their order, with their labels."""
_DAY: Mapping[str, str] = MappingProxyType({"type": "date"})


class OutstandingForm(Form):
    """Something outstanding. Which of the fields are shown depends on its category."""

    need = SelectField("", choices=choices(TREATMENT_WORDS), validate_choice=False)
    what = StringField("", [Length(max=200)])
    at_whom = StringField("", [Length(max=80)])
    count = StringField("", [Length(max=12)], default="1", render_kw={"inputmode": "numeric"})
    since = StringField("", [Length(max=40)], render_kw=dict(_DAY))
    due = StringField("", [Length(max=40)], render_kw=dict(_DAY))
    price = StringField("", [Length(max=40)], render_kw={"inputmode": "decimal"})
    wait = HiddenField()
    rev = HiddenField()


def filled_form(outstanding: Outstanding) -> OutstandingForm:
    """Return a form that shows what is stored."""
    values = {
        "need": outstanding.need,
        "what": outstanding.what,
        "at_whom": outstanding.at_whom,
        "count": str(outstanding.count),
        "since": outstanding.since.isoformat() if outstanding.since else "",
        "due": outstanding.due.isoformat() if outstanding.due else "",
        "price": plain_amount(outstanding.price) if outstanding.price else "",
        "wait": outstanding.id,
        "rev": str(outstanding.rev),
    }
    return OutstandingForm(formdata=None, data=values)


def read_outstanding(
    form: OutstandingForm, before: Outstanding, currency: str
) -> tuple[Outstanding, list[Problem]]:
    """Return it as typed, and what is wrong with the typing.

    Args:
        form: As it was sent; a field that the category has not got is passed over.
        before: What the form began with.
        currency: What the price is in.
    """
    found = [] if form.validate() else [Problem("field", str(f.errors[0]), f.name) for f in form if f.errors]
    labels = LABELS[before.category]
    values: dict[str, Any] = {
        key: (form[key].data or "").strip() for key in ("what", "at_whom") if key in labels
    }
    if "need" in labels:
        values["need"] = form.need.data if form.need.data in TREATMENTS else ""
    for key in ("since", "due"):
        values |= {key: _read(read_day(form[key].data, key), found) if form[key].data else None}
    if "count" in labels:
        count = _read(read_count(form.count.data or ""), found)
        values["count"] = before.count if count is None else count
    if "price" in labels:
        price = read_money(form.price.data, currency) if form.price.data else None
        values["price"] = _read(price, found)
    return replace(before, **values), found


def _read(value: Any, problems: list[Problem]) -> Any:
    if not isinstance(value, Problem):
        return value
    problems.append(value)
    return None


def read_count(typed: str) -> int | Problem:
    """Return a count as typed."""
    text = typed.strip()
    if text.isascii() and text.removeprefix("-").isdigit() and len(text) < len("-123456789"):
        return int(text)
    return Problem("count", "Type the count as a whole number, such as 4.", "count")


def set_field_errors(form: OutstandingForm, problems: list[Problem]) -> None:
    """Put each problem at its field."""
    for problem in problems:
        if problem.where in form and problem.message not in form[problem.where].errors:
            field: Field = form[problem.where]
            field.errors = (*field.errors, problem.message)
