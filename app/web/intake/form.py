"""A form that was sent without script: the same entry that a phone would keep."""

from flask import request

from app.core.intake.fields import Fields, fields_of
from app.store.db.clock import new_id
from app.store.intake.entries import IntakeAnswer
from app.web.intake.entries import take_in
from app.web.site.context import app_state


def sent_fields() -> Fields:
    """Return the fields of the form that was sent, without its token."""
    pairs = request.form.items(multi=True)
    return fields_of((name, value) for name, value in pairs if name != "csrf_token")


def take_form(
    form: str,
    build_id: str,
    *,
    entry_id: str,
    fields: Fields | None = None,
    photo: bytes | None = None,
    **about: str,
) -> IntakeAnswer:
    """Take a form in.

    Args:
        form: Which form, see `app.core.intake.forms`.
        build_id: The build.
        entry_id: The number that the page gave the entry, so that it lands once; empty for none.
        fields: What it says; by default the fields that were sent.
        photo: A photograph with it.
        **about: What it is about: `subject`, `item`, `about`.
    """
    said = sent_fields() if fields is None else fields
    entry: dict[str, object] = {
        "id": entry_id or new_id(),
        "type": "form",
        "form": form,
        "folder": app_state().folder.id,
        "build": build_id,
        "fields": [list(pair) for pair in said.pairs],
    }
    return take_in(entry | about, photo)
