"""The pages of a build: the words that are always in reach, and the further pages behind each of them."""

from dataclasses import dataclass

from flask import url_for


@dataclass(frozen=True, slots=True)
class PageLink:
    """One page: its word, its address, and whether it is the one that is open."""

    label: str
    href: str
    current: bool


PAGES: tuple[tuple[tuple[str, str], ...], ...] = (
    (("Bay", "bay.show"), ("Ledger", "ledger.show"), ("Status", "bay.status")),
    (("Take off", "takeoff.show"), ("Steps", "steps.index")),
    (("To describe", "describe.index"),),
    (("Put back", "putback.index"), ("Now", "now.show"), ("Plan", "plan.index"), ("Gates", "gates.index")),
    (("Find", "find.index"), ("I found this bolt", "torques.found")),
    (
        ("Places", "places.index"),
        ("Away", "away.index"),
        ("Leaving", "leaving.index"),
        ("Engines", "engines.index"),
        ("Undecided", "undecided.index"),
    ),
    (("To get", "to_get.index"),),
    (("Print", "printing.index"),),
    (("Torque", "torques.index"), ("Readings", "readings.show"), ("Wrenches", "wrenches.index")),
    (("Crew", "crew.index"),),
    (("Coming back", "returning.index"),),
)
"""The first page of each group is always in reach; the others are while the group is open."""


def main_pages(nr: int, endpoint: str) -> list[PageLink]:
    """Return the pages that are always in reach; the one whose group is open is the current one."""
    return [
        PageLink(group[0][0], url_for(group[0][1], nr=nr), any(page == endpoint for _, page in group))
        for group in PAGES
    ]


def further_pages(nr: int, endpoint: str) -> list[PageLink]:
    """Return the pages of the group that is open; none where it has only one."""
    group = next((g for g in PAGES if any(page == endpoint for _, page in g)), ())
    if len(group) < 2:  # noqa: PLR2004 - a page alone needs no way to itself
        return []
    return [PageLink(label, url_for(page, nr=nr), page == endpoint) for label, page in group]
