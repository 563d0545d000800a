"""The pages of a build: five places that are always in reach, and the pages behind each of them."""

from dataclasses import dataclass

from flask import url_for


@dataclass(frozen=True, slots=True)
class PageLink:
    """One page: its word, its address, and whether it is the one that is open."""

    label: str
    href: str
    current: bool


@dataclass(frozen=True, slots=True)
class Shelf:
    """Pages of the desk that belong together.

    Args:
        name: What stands above them.
        pages: Each with its word and its endpoint.
    """

    name: str
    pages: tuple[tuple[str, str], ...]


PAGES: tuple[tuple[tuple[str, str], ...], ...] = (
    (("Bay", "bay.show"), ("Ledger", "ledger.show"), ("Progress", "bay.status")),
    (("Take off", "takeoff.show"), ("Jobs", "steps.index")),
    (("Put back", "putback.index"), ("Now", "now.show"), ("Plan", "plan.index"), ("Checks", "gates.index")),
    (("Find", "find.index"), ("I found this bolt", "torques.found")),
)
"""The places at the car; the first page of each is always in reach, the others while the place is open."""
DESK = ("Desk", "desk.show")
SHELVES = (
    Shelf(
        "Write it up",
        (
            ("To describe", "describe.index"),
            ("Photos without a tag", "photos.tray"),
            ("To decide", "undecided.index"),
            ("Where work stopped", "returning.index"),
        ),
    ),
    Shelf(
        "Buy, send, sell",
        (("To buy", "to_get.index"), ("Sent out", "away.index"), ("Sell or scrap", "leaving.index")),
    ),
    Shelf("Where things are", (("Places", "places.index"), ("Engines", "engines.index"))),
    Shelf(
        "Torque",
        (("Torque", "torques.index"), ("Readings", "readings.show"), ("Wrenches", "wrenches.index")),
    ),
    Shelf("Paper", (("Print tags", "printing.index"),)),
    Shelf("People", (("Crew and phones", "crew.index"),)),
)
"""The desk's pages, for the evening at the laptop."""
FOR_OWNERS = Shelf(
    "Project",
    (
        ("How the engine comes out", "route.show"),
        ("A list from a spreadsheet", "lists.show"),
        ("Title, units and words", "builds.settings"),
    ),
)
NEEDS_A_HAND = frozenset({"takeoff.show"})
"""Places that are of no use to somebody who only looks on."""


def main_pages(nr: int, endpoint: str, *, may_write: bool = True) -> list[PageLink]:
    """Return the places that are always in reach; the one whose page is open is the current one."""
    at_car = [group for group in PAGES if may_write or group[0][1] not in NEEDS_A_HAND]
    links = [
        PageLink(group[0][0], url_for(group[0][1], nr=nr), any(page == endpoint for _, page in group))
        for group in at_car
    ]
    label, desk = DESK
    return [*links, PageLink(label, url_for(desk, nr=nr), endpoint == desk or bool(_shelf(endpoint)))]


def further_pages(nr: int, endpoint: str) -> list[PageLink]:
    """Return the pages beside the one that is open; none where it stands alone."""
    group = next((g for g in PAGES if any(page == endpoint for _, page in g)), _shelf(endpoint))
    if len(group) < 2:  # noqa: PLR2004 - a page alone needs no way to itself
        return []
    return _links(nr, group, endpoint)


def shelves(nr: int, *, is_owner: bool) -> list[tuple[str, list[PageLink]]]:
    """Return all pages of the desk by what they belong to."""
    known = (*SHELVES, FOR_OWNERS) if is_owner else SHELVES
    return [(shelf.name, _links(nr, shelf.pages)) for shelf in known]


def _shelf(endpoint: str) -> tuple[tuple[str, str], ...]:
    found = (shelf.pages for shelf in (*SHELVES, FOR_OWNERS))
    return next((pages for pages in found if any(page == endpoint for _, page in pages)), ())


def _links(nr: int, pages: tuple[tuple[str, str], ...], endpoint: str = "") -> list[PageLink]:
    return [PageLink(label, url_for(page, nr=nr), page == endpoint) for label, page in pages]
