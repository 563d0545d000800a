"""A torque where it is typed: the values to choose from, the reading to compare, the cautions beside it."""

from collections.abc import Iterator
from dataclasses import dataclass

from flask import request

from app.core.builds.snapshot import Entry
from app.core.items.bodies.acts import Acknowledge, Confirm
from app.core.items.bodies.base import Body
from app.core.items.items import Fastener, Item
from app.core.problem import Problem
from app.core.tightening.readings import with_reading_kept
from app.core.tightening.torque_table import cautions_of
from app.core.torque.choices import choices_of
from app.core.torque.confirming import Reading, Standing, reading_of
from app.core.torque.plausibility import Caution
from app.web.takeoff.item_form import ItemForm

COMPARED, LATER = "compared", "later"
ASKED = Problem(
    "torque-answer", "Compare the torque with the print, or say that it is done later.", "torque-ask"
)


@dataclass(frozen=True, slots=True)
class TorqueQuestion:
    """What is asked about a torque before it is written.

    Args:
        reading: What it is read as.
        asks_reading: Whether that is to be confirmed.
        cautions: What speaks against it.
    """

    reading: Reading
    asks_reading: bool
    cautions: tuple[Caution, ...]


def take_choice(form: ItemForm) -> None:
    """Put the chosen value of a print in the place of the print, and keep the whole of it beside.

    A whole print that the torque is no part of any more is dropped.
    """
    typed, whole = ((each.data or "").strip() for each in (form.torque, form.torque_print))
    chosen = request.form.get("torque_choice", "")
    if chosen and chosen in values_of(typed or whole):
        form.torque.data, form.torque_print.data = chosen, typed or whole
    elif typed and typed not in values_of(form.torque_print.data or ""):
        form.torque_print.data = ""


def values_of(print_text: str) -> tuple[str, ...]:
    """Return the values that a print gives for different cases, each as it stands there; none for one."""
    return tuple(choice.text for choice in choices_of(print_text))


def question_about(entry: Entry, changed: Item) -> TorqueQuestion | None:
    """Return what a person is to compare before a torque is written; `None` where nothing is open."""
    before, group = entry.item.detail, changed.detail
    if not isinstance(group, Fastener) or not group.torque:
        return None
    kept = with_reading_kept(group, before)
    was_read = kept.torque_read if isinstance(kept, Fastener) else ""
    reading = reading_of(group.torque, was_read, entry.state.confirmed)
    seen = {(each.caution, each.torque) for each in entry.state.acknowledged}
    known = cautions_of(before) if isinstance(before, Fastener) and before.torque == group.torque else ()
    cautions = tuple(
        each
        for each in cautions_of(group)
        if (each.code, group.torque) not in seen and each.code not in {old.code for old in known}
    )
    is_new = not isinstance(before, Fastener) or before.torque != group.torque
    asks_reading = is_new and not reading.stands and reading.standing is not Standing.UNREADABLE
    return TorqueQuestion(reading, asks_reading, cautions) if asks_reading or cautions else None


def is_answered(question: TorqueQuestion) -> bool:
    """Tell whether the page that was sent showed this question and carries an answer."""
    answer = request.form.get("torque_answer")
    if answer == LATER:
        return True
    seen = (request.form.get("torque_seen"), request.form.get("reading_seen"))
    return answer == COMPARED and seen == (question.reading.print, question.reading.read_as)


def answers_to(question: TorqueQuestion) -> Iterator[Body]:
    """Return what is written about the torque after it: who compared it."""
    if request.form.get("torque_answer") != COMPARED:
        return
    torque = question.reading.print
    if question.asks_reading:
        yield Confirm(torque=torque, reading=question.reading.read_as)
    for caution in question.cautions:
        yield Acknowledge(caution=caution.code, torque=torque)
