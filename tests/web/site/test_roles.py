"""Who may reach which route: nobody without a key, an onlooker to look, the owner for the plan."""

import pytest

from tests.web.conftest import Garage

OPEN_TO_ALL = {"static", "scripts.earlier", "login.knock", "login.start", "login.pair", "login.here"}
DOORS = {"login.start_submit", "login.pair_submit"}
OWNER_PAGES = {"builds.create", "builds.settings", "steps.show", "lists.show", "lists.export", "route.show"}
OWNER_FORMS = {
    "builds.create_submit",
    "builds.settings_submit",
    "steps.add",
    "steps.submit",
    "steps.move",
    "steps.give_role",
    "steps.restore",
    "steps.take_over",
    "zones.add",
    "lists.take",
    "printing.create",
    "crew.pair",
    "crew.shut",
    "crew.decide_quarantined",
    "phases.answer_proposed",
    "route.submit",
}


def test_without_a_key_no_page_tag_or_photo_says_anything(busy: Garage) -> None:
    secrets = ["Invented vehicle", "Battery", busy.one("SELECT code FROM tag WHERE subject IS NOT NULL")]
    for endpoint, address in busy.routes("GET"):
        if endpoint in OPEN_TO_ALL:
            continue
        answer = busy.stranger.get(address)
        at_the_door = answer.status_code == 302 and answer.headers["Location"] == "/knock"
        assert answer.status_code == 401 or at_the_door, address
        assert not any(word in answer.text for word in secrets), address
        assert answer.mimetype == "text/html", address


def test_what_is_open_to_all_tells_nothing_of_the_build(busy: Garage) -> None:
    for endpoint, address in busy.routes("GET"):
        if endpoint in OPEN_TO_ALL - {"static", "scripts.earlier"}:
            assert "Invented vehicle" not in busy.stranger.get(address).text, address


def test_without_a_key_no_form_is_taken(busy: Garage) -> None:
    before = busy.everything()
    for endpoint, address in busy.routes("POST"):
        wanted = {403, 422} if endpoint in DOORS else {401}
        assert busy.stranger.post(address).status_code in wanted, address
    assert busy.everything() == before


def test_a_made_up_key_opens_nothing(busy: Garage) -> None:
    busy.stranger.client.set_cookie(f"putback_{busy.folder.id[:12]}", "x" * 43)
    assert busy.stranger.get("/b/1/bay").status_code == 401


def test_an_onlooker_reads_but_sends_no_form(busy: Garage) -> None:
    before = busy.everything()
    for endpoint, address in busy.routes("GET"):
        if endpoint not in OPEN_TO_ALL | OWNER_PAGES:
            assert busy.onlooker.get(address).status_code in {200, 302, 308}, address
    for endpoint, address in busy.routes("POST"):
        if endpoint == "entries.receive":
            assert busy.onlooker.send(busy.capture(code=busy.blank())).status_code == 403
        elif endpoint not in DOORS:
            assert busy.onlooker.post(address).status_code == 403, address
    assert busy.everything() == before


@pytest.mark.parametrize("role", ["helper", "onlooker"])
def test_only_the_owner_reaches_the_plan_the_printer_and_the_crew(busy: Garage, role: str) -> None:
    browser, before = getattr(busy, role), busy.everything()
    for endpoint, address in busy.routes("GET"):
        if endpoint in OWNER_PAGES:
            assert browser.get(address).status_code == 403, address
            assert busy.owner.get(address).status_code == 200, address
    for endpoint, address in busy.routes("POST"):
        if endpoint in OWNER_FORMS:
            assert browser.post(address).status_code == 403, address
    assert busy.everything() == before


def test_every_other_form_is_open_to_a_helper(busy: Garage) -> None:
    for endpoint, address in busy.routes("POST"):
        if endpoint not in OWNER_FORMS | DOORS:
            assert busy.helper.post(address).status_code not in {401, 403, 404, 405}, address
