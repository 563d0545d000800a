"""Under which names the pages answer."""

import pytest

from tests.web.conftest import NUMBER, Garage


@pytest.mark.parametrize(
    "host",
    [
        "garage.local:8765",
        "GARAGE.LOCAL:8765",
        "garage.local.:8765",
        "garage-old.local:8000",
        "127.0.0.1:8765",
        "localhost",
        "[::1]:8765",
        f"{NUMBER}:8765",
    ],
)
def test_the_name_in_use_the_printed_names_and_the_numbers_answer(garage: Garage, host: str) -> None:
    answer = garage.stranger.client.get("/knock", headers={"Host": host})
    assert "Not let in yet" in answer.text


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "garage.local.evil.example",
        "evil-garage.local",
        "192.0.2.8",
        "garage",
        "a@garage.local",
        " ",
    ],
)
def test_any_other_name_is_refused(garage: Garage, host: str) -> None:
    for address in ("/b/1/bay", "/knock", "/here", "/static/css/site/base.css"):
        answer = garage.owner.get(address, Host=host)
        assert answer.status_code == 400, address
        assert "Blue van" not in answer.text


def test_a_tag_printed_under_an_old_name_still_opens_its_item(garage: Garage) -> None:
    item = garage.item()
    code = garage.one("SELECT code FROM tag WHERE subject = ?", f"item:{item}")
    answer = garage.owner.get(f"/T/{code}/A", Host="GARAGE-OLD.LOCAL:8000")
    assert answer.headers["Location"] == f"/i/{item}?half=A"


def test_only_our_own_pages_may_ask_across_names_who_is_here(garage: Garage) -> None:
    answer = garage.stranger.get("/here", Origin=f"http://{NUMBER}:8765")
    assert answer.text == garage.folder.id
    assert answer.headers["Access-Control-Allow-Origin"] == f"http://{NUMBER}:8765"
    refused = garage.stranger.get("/here", Origin="http://evil.example")
    assert refused.status_code == 403
    assert "Access-Control-Allow-Origin" not in refused.headers
