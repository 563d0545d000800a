"""A long list, page by page."""

import pytest
from flask import Flask

from app.web.site.pages import asked_page


@pytest.mark.parametrize(
    ("query", "count", "rows", "earlier", "further", "left"),
    [
        ("", 40, slice(0, 15), None, 15, 25),
        ("from=15", 40, slice(15, 30), 0, 30, 10),
        ("from=30", 40, slice(30, 40), 15, None, 0),
        ("from=7", 15, slice(7, 15), 0, None, 0),
        ("from=99", 3, slice(2, 3), 0, None, 0),
        ("from=-5", 3, slice(0, 3), None, None, 0),
        ("from=x", 0, slice(0, 0), None, None, 0),
    ],
)
def test_a_page_is_what_the_address_asks_for_and_never_beyond_the_list(
    query: str, count: int, rows: slice, earlier: int | None, further: int | None, left: int
) -> None:
    with Flask(__name__).test_request_context(f"/?{query}"):
        page = asked_page("from", count, 15)
    assert (page.rows, page.earlier, page.further, page.left) == (rows, earlier, further, left)
