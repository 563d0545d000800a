"""The form of a step, and what it says."""

from flask import request
from wtforms import BooleanField, HiddenField, IntegerField, SelectField, StringField, TextAreaField
from wtforms.validators import DataRequired, InputRequired, Length, NumberRange

from app.core.items.step_names import LONGEST, proposed_back
from app.core.order.acts import StepEdge
from app.core.wording.heights import HEIGHT_TEXT
from app.core.wording.roles import ROLE_CHOICES
from app.web.site.form import Form, choices

DIRECTION_WORDS = [
    ("both", "both ways"),
    ("off_only", "off only: drain, soak, mark"),
    ("on_only", "on only: fill, bleed, prime"),
]

LONGEST_INSTRUCTION = 600
WRITTEN = ("name", "height", "people", "minutes", "direction", "shares_zone")
INSTRUCTIONS = ("instruction", "instruction_back")
NEWEST = "name_back"
"""A field that stands on every page with the names of both ways, and on none from before."""


class StepForm(Form):
    """A step of the plan."""

    name = StringField("What is done", [DataRequired("Say what is done in this step."), Length(max=LONGEST)])
    name_back = StringField("On the way back", [Length(max=LONGEST)])
    role = SelectField("What it is for", choices=choices(ROLE_CHOICES), default="")
    instruction = TextAreaField("How, taking off", [Length(max=LONGEST_INSTRUCTION)])
    instruction_back = TextAreaField("How, putting back", [Length(max=LONGEST_INSTRUCTION)])
    height = SelectField("Vehicle stands", choices=choices(HEIGHT_TEXT.items()))
    people = IntegerField(
        "People",
        [InputRequired("How many people, 1 to 9."), NumberRange(1, 9, "People: 1 to 9.")],
        default=1,
    )
    minutes = IntegerField(
        "Minutes",
        [
            InputRequired("About how many minutes, 0 to 6000."),
            NumberRange(0, 6000, "Minutes: 0 to 6000."),
        ],
        default=30,
    )
    direction = SelectField("Direction", choices=choices(DIRECTION_WORDS))
    shares_zone = BooleanField("Somebody else may work in the same zone meanwhile")
    for_helper = BooleanField("Somebody who knows nothing of it may do it")
    rev = HiddenField()


def read_step(form: StepForm) -> dict[str, object]:
    """Return what the form says; a page from before a field was on it says nothing of that field.

    What is left as it was proposed for the way back stays proposed.
    """
    values = {key: form[key].data for key in WRITTEN}
    if NEWEST in request.form:
        texts = {key: (form[key].data or "").strip() for key in (NEWEST, *INSTRUCTIONS)}
        if texts["name_back"] == proposed_back(
            str(form.name.data), is_left=form.direction.data == "off_only"
        ):
            texts["name_back"] = ""
        values |= texts | {key: form[key].data for key in ("role", "for_helper")}
    return values


def read_predecessors(step_id: str) -> list[StepEdge] | None:
    """Return which steps the form says come first, and why; `None` where it does not ask."""
    if "predecessors" not in request.form:
        return None
    rows = zip(request.form.getlist("predecessors"), request.form.getlist("waits_why"), strict=False)
    return [StepEdge(before, step_id, reason.strip()[:200]) for before, reason in rows if before]
