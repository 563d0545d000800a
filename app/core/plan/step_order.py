"""Steps put in another order."""

from collections.abc import Collection, Sequence


def moved_after(order: Sequence[str], chosen: Collection[str], after: str) -> tuple[str, ...]:
    """Return an order with some of it moved, as they stood among each other, behind one that stays.

    Args:
        order: Ids, first to last.
        chosen: Ids to be moved; those that the order does not know are passed over.
        after: The id behind which they come; empty for the beginning.

    Raises:
        ValueError: `after` is not there or is itself to be moved.
    """
    staying = [each for each in order if each not in chosen]
    if after and after not in staying:
        raise ValueError("what they are to come after does not stay where it is")
    at = staying.index(after) + 1 if after else 0
    moving = [each for each in order if each in chosen]
    return (*staying[:at], *moving, *staying[at:])
