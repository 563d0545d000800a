from app.web.site.navigation import PAGES, further_pages, main_pages
from tests.web.conftest import Garage

ALL = [endpoint for group in PAGES for _, endpoint in group]


def test_every_page_in_the_navigation_is_there_and_named_once(garage: Garage) -> None:
    with garage.app.test_request_context():
        links = [link for endpoint in ALL for link in (*main_pages(1, endpoint), *further_pages(1, endpoint))]

    assert len(set(ALL)) == len(ALL)
    for address in {link.href for link in links}:
        assert garage.owner.get(address).status_code == 200, address


def test_each_page_marks_its_own_group_and_itself_as_open(garage: Garage) -> None:
    with garage.app.test_request_context():
        for group in PAGES:
            for label, endpoint in group:
                open_groups = [link.label for link in main_pages(1, endpoint) if link.current]
                open_pages = [link.label for link in further_pages(1, endpoint) if link.current]

                assert open_groups == [group[0][0]]
                assert open_pages == ([label] if len(group) > 1 else [])


def test_a_page_outside_the_navigation_opens_no_group(garage: Garage) -> None:
    with garage.app.test_request_context():
        assert not any(link.current for link in main_pages(1, "cards.show"))
        assert further_pages(1, "cards.show") == []
