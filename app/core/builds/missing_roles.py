"""Roles that a plan should have and no step has: said where they matter, with the step to choose."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from app.core.builds.snapshot import Snapshot
from app.core.items.items import Connection
from app.core.items.roles import Role, likely, missing_roles
from app.core.wording.roles import ROLE_WORDS, missing_text


@dataclass(frozen=True, slots=True)
class MissingRole:
    """A role that no step has.

    Args:
        words: What the role is called.
        text: What goes wrong without it.
        likely: The step that by its name may have it; empty where none is like it.
    """

    role: Role
    words: str
    text: str
    likely: str


def missing_in_plan(build: Snapshot) -> tuple[MissingRole, ...]:
    """Return what the plan of a build misses: nothing where no engine is taken out."""
    return told_missing(build, missing_roles(build.steps, _owners(build)))


def told_missing(build: Snapshot, roles: Iterable[Role]) -> tuple[MissingRole, ...]:
    """Return roles that are missing, each with what a page says of it."""
    return tuple(
        MissingRole(role, ROLE_WORDS[role], missing_text(role), likely(build.steps, role)) for role in roles
    )


def _owners(build: Snapshot) -> Iterator[str]:
    for entry in build.items:
        yield entry.item.owner
        if isinstance(entry.item.detail, Connection):
            yield from (end.owner for end in entry.item.detail.ends)
