"""At the engine with script: a finding in two taps out of reach, litres that go with the act."""

import json
from contextlib import closing
from typing import Any

import pytest
from playwright.sync_api import FilePayload, Page, expect

from app.store.db.database import read_only
from app.store.demo.drawn_photos import draw_photo
from app.store.folder import DATABASE_FILE
from tests.browser.garage import Garage, OpenPhone, choose_kind, take_by_code


@pytest.fixture
def phone(open_phone: OpenPhone, demo_state: Any) -> Page:
    return open_phone(storage_state=demo_state)


def rows(demo: Garage, question: str, *values: object) -> list[tuple[Any, ...]]:
    with closing(read_only(demo.folder / DATABASE_FILE)) as database:
        return database.execute(question, values).fetchall()


def item(demo: Garage, name: str) -> str:
    return str(rows(demo, "SELECT id FROM item WHERE name = ?", name)[0][0])


def test_two_taps_and_a_photo_out_of_reach_make_a_finding_that_blocks_once(phone: Page, demo: Garage) -> None:
    radiator = item(demo, "Radiator")
    phone.goto(demo.at(f"/i/{radiator}"))
    phone.get_by_role("link", name="Something wrong").tap()
    expect(phone.get_by_text("Photo of it")).to_be_visible()
    phone.context.set_offline(True)
    photo = FilePayload(
        name="p.jpg", mimeType="image/jpeg", buffer=draw_photo("hose", variety=2, words="", card=None)
    )
    phone.get_by_label("Photo of it").set_input_files(photo)
    expect(phone.locator("[data-outbox]")).to_have_text("1 waiting to send")
    phone.context.set_offline(False)
    expect(phone.locator("[data-landed]")).to_contain_text("is written down")

    phone.get_by_role("link", name="The card").tap()
    expect(phone.get_by_text("First: decide")).to_be_visible()
    found = rows(demo, "SELECT from_item FROM edge WHERE rel = 'found_on' AND to_item = ?", radiator)
    assert len(found) == 1
    assert rows(demo, "SELECT count(*) FROM shows WHERE subject = ?", f"item:{found[0][0]}") == [(1,)]


def test_litres_go_with_the_act_and_the_question_comes_at_once(phone: Page, demo: Garage) -> None:
    oil = item(demo, "Engine oil")
    phone.goto(demo.at(f"/i/{oil}"))
    phone.get_by_label("Liters", exact=True).fill("4.6")
    phone.get_by_role("button", name="Save", exact=True).first.tap()
    expect(phone.get_by_text("4.6 l", exact=True)).to_be_visible()
    phone.get_by_text("Put it back already").tap()
    phone.get_by_label("Filled, liters").fill("3,0")
    phone.get_by_role("button", name="Next: filled").tap()
    expect(phone.get_by_text("You drained 4.6 l and filled 3 l: is that right?")).to_be_visible()

    ((body,),) = rows(
        demo, "SELECT body FROM journal WHERE subject = ? ORDER BY seq DESC LIMIT 1", f"item:{oil}"
    )
    assert json.loads(body) == {"act": "filled", "litres": 3}


def test_what_was_just_taken_off_is_among_what_a_cap_may_close_and_only_a_cap_is_asked(
    phone: Page, demo: Garage
) -> None:
    phone.goto(demo.at("/b/1/take-off?kind=connection"))
    asked = phone.get_by_label("What it closes")
    expect(asked).to_be_hidden()
    taken: list[str] = []
    for kind, code in (("Connection", "444-444F"), ("Temporary", "222-2228")):
        choose_kind(phone, kind)
        if kind == "Temporary":
            expect(asked).to_be_visible()
            asked.select_option(index=1)
        take_by_code(phone, code)
        expect(phone.locator("[data-taken]")).to_contain_text(f"{code} #")
        (found,) = rows(demo, "SELECT subject FROM tag WHERE code = ?", code.replace("-", ""))
        taken.append(str(found[0]).partition(":")[2])

    hose, cap = taken
    assert rows(demo, "SELECT to_item FROM edge WHERE rel = 'closes' AND from_item = ?", cap) == [(hose,)]
    expect(asked).to_have_value("")
