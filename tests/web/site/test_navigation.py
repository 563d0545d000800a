import pytest

from app.web.site.navigation import DESK, FOR_OWNERS, PAGES, SHELVES, further_pages, main_pages, shelves
from tests.web.conftest import Garage

GROUPS = [*PAGES, *(shelf.pages for shelf in (*SHELVES, FOR_OWNERS))]
ALL = [endpoint for group in GROUPS for _, endpoint in group]


def test_every_page_in_the_navigation_is_there_and_named_once(garage: Garage) -> None:
    with garage.app.test_request_context():
        links = [link for endpoint in ALL for link in (*main_pages(1, endpoint), *further_pages(1, endpoint))]
        links += [link for _, pages in shelves(1, is_owner=True) for link in pages]

    assert len(set(ALL)) == len(ALL)
    for address in {link.href for link in links}:
        assert garage.owner.get(address).status_code == 200, address


def test_each_page_marks_its_own_place_and_itself_as_open(garage: Garage) -> None:
    with garage.app.test_request_context():
        for group in GROUPS:
            for label, endpoint in group:
                open_places = [link.label for link in main_pages(1, endpoint) if link.current]
                open_pages = [link.label for link in further_pages(1, endpoint) if link.current]

                assert open_places == [group[0][0] if group in PAGES else DESK[0]]
                assert open_pages == ([label] if len(group) > 1 else [])


def test_a_page_outside_the_navigation_opens_no_place(garage: Garage) -> None:
    with garage.app.test_request_context():
        assert not any(link.current for link in main_pages(1, "cards.show"))
        assert further_pages(1, "cards.show") == []


def test_there_are_five_places_and_four_for_who_only_looks_on(garage: Garage) -> None:
    with garage.app.test_request_context():
        found = [[link.label for link in main_pages(1, "bay.show", may_write=may)] for may in (True, False)]
    assert found == [["Bay", "Take off", "Put back", "Find", "Desk"], ["Bay", "Put back", "Find", "Desk"]]


@pytest.mark.parametrize("role", ["owner", "helper", "onlooker"])
def test_the_desk_leads_only_where_its_reader_may_go(role: str, garage: Garage) -> None:
    browser = getattr(garage, role)
    page = browser.get("/b/1/desk").text
    main = page[page.index("<main") : page.index("</main>")]
    links = [part.split('"', 1)[0] for part in main.split('href="')[1:]]

    assert len(links) > 10
    assert {browser.get(link).status_code for link in links} == {200}
    assert ("/b/1/settings" in links) is (role == "owner")
