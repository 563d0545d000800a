"""What a page refuses at once of what a form of a card says; see `app.core.intake.marks` for the rest."""

from app.core.builds.snapshot import Entry
from app.core.intake.fields import Fields
from app.core.intake.marks import mark_body
from app.core.items.kinds import Act
from app.core.problem import Problem
from app.web.site.context import visitor


def refuse_form(entry: Entry, fields: Fields) -> Problem | None:
    """Return what is missing in a form of a card, or that the doer takes the second look."""
    body = mark_body(entry.item, fields)
    return body if isinstance(body, Problem) else _refuse_look(entry, fields)


def _refuse_look(entry: Entry, fields: Fields) -> Problem | None:
    """Refuse a second look by the doer, unless they say that they looked again, alone, after a break."""
    if fields.get("act") != Act.CHECKED or fields.get("alone"):
        return None
    doers = {p.person for p in entry.state.positions if p.person}
    if (fields.get("person") or visitor().person) not in doers:
        return None
    return Problem(
        "own-look",
        "The second look is for another person than the one who did it. Choose who looked; "
        "or, if you are alone, look again after a break and tick «alone».",
        "person",
    )
