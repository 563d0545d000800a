"""Requests that another site, or a look alone, would make."""

import pytest

from tests.web.conftest import Garage


def test_no_form_is_taken_without_the_token_of_its_page(busy: Garage) -> None:
    before, routes = busy.everything(), busy.routes("POST")
    for _, address in routes:
        answer = busy.owner.client.post(address, data={"name": "x"})
        assert answer.status_code == 400, address
        assert "reload the page" in answer.text, address
    assert len(routes) > 15
    assert busy.everything() == before


def test_the_token_of_another_browser_is_not_taken(garage: Garage) -> None:
    answer = garage.owner.client.post(
        "/b/1/places", data={"csrf_token": garage.helper.token, "name": "crate 3"}
    )
    assert answer.status_code == 400
    assert garage.rows("SELECT * FROM place") == []


def test_looking_at_every_page_changes_nothing(busy: Garage) -> None:
    before = busy.everything()
    items = [f"/i/{item}{tail}" for (item,) in busy.rows("SELECT id FROM item") for tail in ("", "/describe")]
    variants = ["/b/1/put-back?all", "/b/1/ledger?by=step&all", "/b/1/bay?level=below", "/b/1/find?q=bolt"]
    for address in [*(address for _, address in busy.routes("GET")), *items, *variants]:
        assert busy.owner.get(address).status_code < 500, address
    assert busy.everything() == before


@pytest.mark.parametrize("origin", ["http://evil.example", "http://garage.local.evil.example:8765"])
def test_a_form_from_another_site_is_refused_even_with_its_token(garage: Garage, origin: str) -> None:
    answer = garage.owner.client.post(
        "/b/1/places",
        data={"csrf_token": garage.owner.token, "name": "crate 3"},
        headers={"Origin": origin},
    )
    assert answer.status_code == 400
    assert "another site" in answer.text
    assert garage.rows("SELECT * FROM place") == []


@pytest.mark.parametrize("origin", ["http://garage.local:8765", "http://garage-old.local:8000"])
def test_a_form_from_our_own_names_is_taken(garage: Garage, origin: str) -> None:
    answer = garage.owner.client.post(
        "/b/1/places",
        data={"csrf_token": garage.owner.token, "name": "crate 3"},
        headers={"Origin": origin},
    )
    assert answer.status_code == 302


@pytest.mark.parametrize(
    "back", ["//evil.example", "http://evil.example/", "/\\evil.example", "javascript:x"]
)
def test_no_form_sends_the_browser_to_another_site(garage: Garage, back: str) -> None:
    item = garage.item()
    device = garage.one("SELECT id FROM device WHERE role = 'onlooker'")
    for address in (f"/i/{item}/line", f"/devices/{device}/shut"):
        answer = garage.owner.post(address, verb="mark", act="aside", back=back)
        assert answer.status_code == 302
        assert "evil" not in answer.headers["Location"]
        assert "javascript" not in answer.headers["Location"]


def test_a_form_goes_back_to_the_page_it_was_on(garage: Garage) -> None:
    answer = garage.owner.post(
        f"/i/{garage.item()}/line", verb="mark", act="aside", back="/b/1/put-back?from=20"
    )
    assert answer.headers["Location"] == "/b/1/put-back?from=20"
