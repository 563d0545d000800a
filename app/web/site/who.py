"""Who did something: the people to choose from, as a form offers them."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from app.store.db.models import Person


@dataclass(frozen=True, slots=True)
class PersonChoice:
    """One person that a form offers.

    Args:
        id: The person's id.
        name: As the crew's page has it.
        is_chosen: Whether the form begins with this person.
        has_done: Whether this person has a hand in what the form is about.
        is_barred: Whether this person cannot be chosen: who did it takes no second look at it.
    """

    id: str
    name: str
    is_chosen: bool
    has_done: bool = False
    is_barred: bool = False


def person_choices(
    people: Iterable[Person], chosen: str, doers: Collection[str] = (), *, bars_doers: bool = False
) -> tuple[PersonChoice, ...]:
    """Return the people to choose from; nobody where there is one only, and so nothing to choose.

    Args:
        people: Who can have done something.
        chosen: The id of the person that the form begins with.
        doers: Ids of those who have a hand in it.
        bars_doers: Whether none of those can be chosen.
    """
    offered = tuple(people)
    if len(offered) < 2:  # noqa: PLR2004 - two can be chosen from
        return ()
    barred = frozenset(doers) if bars_doers else frozenset()
    return tuple(
        PersonChoice(
            each.id,
            each.name,
            is_chosen=each.id == chosen and each.id not in barred,
            has_done=each.id in doers,
            is_barred=each.id in barred,
        )
        for each in offered
    )
