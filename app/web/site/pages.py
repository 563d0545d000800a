"""A long list, page by page."""

from dataclasses import dataclass

from flask import request


@dataclass(frozen=True, slots=True)
class Page:
    """Which rows of a long list are shown.

    Args:
        start: The first one, from 0.
        end: The one after the last.
        count: How many there are.
        size: How many a page has.
    """

    start: int
    end: int
    count: int
    size: int

    @property
    def rows(self) -> slice:
        """What to cut out of the list."""
        return slice(self.start, self.end)

    @property
    def first(self) -> int:
        """The number of its first row, from 1."""
        return self.start + 1

    @property
    def left(self) -> int:
        """How many rows come after these."""
        return self.count - self.end

    @property
    def earlier(self) -> int | None:
        """Where the page before begins, if there is one."""
        return max(0, self.start - self.size) if self.start else None

    @property
    def further(self) -> int | None:
        """Where the next page begins, if there is one."""
        return self.end if self.end < self.count else None


def asked_page(name: str, count: int, size: int) -> Page:
    """Return the page that the address asks for by `name`; one beyond the end begins at the last row."""
    start = min(max(0, request.args.get(name, 0, type=int)), max(0, count - 1))
    return Page(start, min(start + size, count), count, size)
