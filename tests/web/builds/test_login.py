"""Letting in and shutting out."""

from datetime import timedelta

import pytest

from app.store.db.clock import utc_now
from app.web.builds import login
from tests.web.conftest import START_KEY, Browser, Garage


def pairing(garage: Garage, role: str = "helper") -> str:
    """Return the address that the owner's page shows for a phone."""
    page = garage.owner.post("/b/1/crew/pair", role=role)
    assert page.status_code == 200
    return "/pair/" + page.text.partition("data-pairing>http://garage.local:8765/pair/")[2].partition("<")[0]


def newcomer(garage: Garage) -> Browser:
    return Browser(garage.app, garage.folder)


def test_the_start_link_is_not_spent_by_looking_and_lets_one_browser_in(garage: Garage) -> None:
    first, second, link = newcomer(garage), newcomer(garage), f"/start/{START_KEY}"
    for _ in range(2):
        assert first.get(link).status_code == 200
    assert first.get("/b/1/bay").status_code == 401

    assert first.post(link, name="Ann").headers["Location"] == "/"
    assert first.get("/builds/new").status_code == 200
    assert second.post(link, name="Eve").status_code == 403
    assert "spent" in second.get(link).text
    assert garage.rows("SELECT name FROM person WHERE name IN ('Ann', 'Eve')") == [("Ann",)]


@pytest.mark.parametrize("key", ["wrong", "x", START_KEY.upper(), START_KEY[:-1], "ключ"])
def test_a_wrong_start_key_lets_nobody_in_and_spends_nothing(garage: Garage, key: str) -> None:
    assert newcomer(garage).post(f"/start/{key}", name="Eve").status_code == 403
    assert newcomer(garage).post(f"/start/{START_KEY}", name="Ann").status_code == 302


@pytest.mark.parametrize("name", ["", "   ", "x" * 41])
def test_without_a_name_the_start_key_and_the_pairing_stay_unspent(garage: Garage, name: str) -> None:
    for link in (f"/start/{START_KEY}", pairing(garage)):
        answer = newcomer(garage).post(link, name=name)
        assert answer.status_code == 422
        assert f'value="{name}"' in answer.text
        assert newcomer(garage).post(link, name="Ann").status_code == 302


@pytest.mark.parametrize(("role", "writes"), [("helper", True), ("onlooker", False), ("owner", True)])
def test_a_pairing_is_not_spent_by_looking_and_lets_one_phone_in(
    garage: Garage, role: str, writes: bool
) -> None:
    link, phone = pairing(garage, role), newcomer(garage)
    for _ in range(2):
        assert phone.get(link).status_code == 200
    assert phone.get("/b/1/bay").status_code == 401

    assert phone.post(link, name="Ann").headers["Location"] == "/"
    assert phone.get("/b/1/bay").status_code == 200
    assert (phone.send(garage.capture(code=garage.blank())).status_code == 200) is writes
    assert newcomer(garage).post(link, name="Eve").status_code == 403
    assert newcomer(garage).get(link).status_code == 403
    assert garage.rows("SELECT role, label FROM device ORDER BY rowid DESC LIMIT 1") == [(role, "a browser")]


def test_a_pairing_ends_after_ten_minutes(garage: Garage, monkeypatch: pytest.MonkeyPatch) -> None:
    late, other, began = pairing(garage), pairing(garage), utc_now()
    monkeypatch.setattr(login, "now", lambda: began + timedelta(minutes=9, seconds=50))
    assert newcomer(garage).post(other, name="Ann").status_code == 302
    monkeypatch.setattr(login, "now", lambda: began + timedelta(minutes=10, seconds=2))
    assert newcomer(garage).get(late).status_code == 403
    assert newcomer(garage).post(late, name="Eve").status_code == 403


def test_a_role_that_is_none_lets_in_no_owner(garage: Garage) -> None:
    newcomer(garage).post(pairing(garage, "admin"), name="Ann")
    assert garage.one("SELECT role FROM device ORDER BY rowid DESC LIMIT 1") == "helper"


def test_a_key_is_long_kept_from_scripts_and_stored_only_as_a_digest(garage: Garage) -> None:
    answer = newcomer(garage).post(pairing(garage), name="Ann")
    cookies = answer.headers.getlist("Set-Cookie")
    key = next(c for c in cookies if c.startswith(f"putback_{garage.folder.id[:12]}="))
    assert all("HttpOnly" in cookie and "SameSite=Lax" in cookie for cookie in cookies)
    assert len(key.partition("=")[2].partition(";")[0]) >= 43
    assert key.partition("=")[2].partition(";")[0] not in str(garage.rows("SELECT * FROM device"))


def test_a_phone_that_is_shut_out_reads_nothing_from_that_moment(busy: Garage) -> None:
    device, name = busy.rows(
        "SELECT device.id, name FROM device JOIN person ON person.id = person_id"
        " WHERE label = 'a phone' AND role = 'helper'"
    )[0]
    assert name in busy.helper.get("/b/1/bay").text

    busy.owner.post(f"/devices/{device}/shut", back="/b/1/crew")

    for endpoint, address in busy.routes("GET"):
        if endpoint not in {
            "static",
            "scripts.earlier",
            "login.knock",
            "login.start",
            "login.pair",
            "login.here",
        }:
            answer = busy.helper.get(address)
            assert answer.status_code == 401 or answer.headers["Location"] == "/knock", address
            assert "Invented vehicle" not in answer.text
            assert name not in answer.text
    for endpoint, address in busy.routes("POST"):
        if endpoint not in {"entries.receive", "login.start_submit", "login.pair_submit"}:
            assert busy.helper.post(address).status_code == 401, address


def test_what_a_shut_out_phone_still_sends_is_put_aside_once_and_changes_nothing(garage: Garage) -> None:
    item, device = garage.item(), garage.one("SELECT id FROM device WHERE role = 'helper'")
    entry, before = garage.mark(item, "seated"), garage.state(item)
    garage.owner.post(f"/devices/{device}/shut")

    answers = [garage.helper.send(entry), garage.helper.send(entry)]

    assert [answer.status_code for answer in answers] == [202, 202]
    assert answers[0].json == answers[1].json
    assert garage.rows("SELECT id, device, decided FROM quarantine") == [(entry["id"], device, None)]
    assert garage.state(item) == before
    assert "Put aside" in garage.owner.get("/b/1/crew").text
