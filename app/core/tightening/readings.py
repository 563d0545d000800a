"""The readings of a build's torques: what is kept with each, and which of them a person is to confirm."""

from collections.abc import Iterable
from dataclasses import replace

from app.core.items.items import Detail, Fastener
from app.core.ledger.ledger import L, has_begun, reading_in
from app.core.torque.confirming import read_as

_GOES_BACK = frozenset({"refit", "transfer", "undecided"})


def with_reading_kept(detail: Detail, before: Detail | None = None) -> Detail:
    """Return a detail with what its torque is read as, so that a later reader can be compared with this one.

    Args:
        detail: As it is to be written.
        before: As it was. While its torque stays the same, what was read then is what stays kept.
    """
    if not isinstance(detail, Fastener):
        return detail
    same = isinstance(before, Fastener) and before.torque == detail.torque
    kept = before.torque_read if isinstance(before, Fastener) and same else read_as(detail.torque)
    return detail if kept == detail.torque_read else replace(detail, torque_read=kept)


def readings_to_confirm(lines: Iterable[L]) -> tuple[L, ...]:
    """Return the groups whose torque a person is still to compare with the print, in the order given."""
    return tuple(line for line in lines if not reading_in(line.item, line.state).stands)


def unconfirmed_to_tighten(lines: Iterable[L]) -> tuple[L, ...]:
    """Return those of `readings_to_confirm` that were tightened or are to be: they came off and go back.

    A gate before the first start names them.
    """
    return tuple(line for line in readings_to_confirm(lines) if _is_tightened_or_to_be(line))


def _is_tightened_or_to_be(line: L) -> bool:
    state = line.state
    return has_begun(state) and (state.destiny.disagree or state.destiny.value in _GOES_BACK)
