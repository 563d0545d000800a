"""Putting back: the thing to do now with its photo, quiet rows, and what a mark changes."""

import re
from contextlib import closing
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from app.store.db.database import read_only
from app.store.folder import DATABASE_FILE
from tests.browser.garage import Garage, OpenPhone, expect_landed, print_sheet, take_by_code
from tests.browser.sheets import tags_on


def take(page: Page, garage: Garage, code: str, kind: str) -> None:
    """Take something off by a printed code; the count at the top follows without a reload."""
    page.goto(garage.at("/b/1/take-off"))
    before = page.locator("[data-open-count]").inner_text()
    take_by_code(page, code, kind=kind)
    expect_landed(page, 1)
    expect(page.locator("[data-open-count]")).not_to_have_text(before)


def item_of(garage: Garage, number: int) -> str:
    with closing(read_only(garage.folder / DATABASE_FILE)) as database:
        found = database.execute("SELECT id FROM item WHERE number = ?", (number,)).fetchone()
    return str(found[0])


def test_what_waited_for_a_thing_is_free_as_soon_as_that_is_in(
    owner: Page, garage: Garage, tmp_path: Path
) -> None:
    codes = sorted({tag.code for tag in tags_on(print_sheet(owner, garage), tmp_path)})
    take(owner, garage, codes[0], "Part")
    take(owner, garage, codes[1], "Fastener group")
    owner.goto(garage.at(f"/T/{codes[1]}"))
    owner.get_by_role("link", name="Edit", exact=True).tap()
    owner.get_by_label("Holds (item numbers)").fill("1")
    owner.get_by_role("button", name="Keep, to the list").tap()
    owner.wait_for_url("**/b/1/describe")
    owner.goto(garage.at("/b/1/put-back"))
    part, bolts = (owner.locator(f'[data-row="{item_of(garage, number)}"]') for number in (1, 2))
    expect(bolts).to_contain_text("waits for #1")
    expect(bolts).to_have_class(re.compile("quiet-held"))
    expect(owner.locator("[data-mark]")).to_have_count(0)  # an act is done on the open card

    part.get_by_role("link").tap()
    owner.locator("[data-next]").tap()
    expect(owner.locator("[data-said]")).to_have_text("Written down")
    owner.goto(garage.at("/b/1/put-back"))
    expect(bolts).not_to_contain_text("waits for #1")
    expect(bolts).not_to_have_class(re.compile("quiet-held"))


MOST_SCREENS = 4
"""How long the list may be, in screens of a phone."""
FIRST_SCREEN = 664
"""What the browser's bars leave of a phone's 844, [CSS px]."""


def test_the_first_screen_holds_the_thing_to_do_now_and_its_act_and_the_list_is_short(
    demo: Garage, demo_state: Any, open_phone: OpenPhone
) -> None:
    phone = open_phone(storage_state=demo_state)
    phone.set_viewport_size({"width": 390, "height": FIRST_SCREEN})
    phone.goto(demo.at("/b/1/put-back"))
    tag, act = (phone.locator(each).bounding_box() for each in (".now-tag", ".actions .act"))
    assert tag
    assert act
    assert tag["y"] + 100 < act["y"]  # its face is in sight above the act
    assert act["y"] + act["height"] <= FIRST_SCREEN
    assert phone.locator("main form button.act").count() == 0
    assert phone.evaluate("document.documentElement.scrollHeight") <= MOST_SCREENS * FIRST_SCREEN
    phone.keyboard.press("Tab")  # past the skip link and what stands in the head, the act comes first
    for _ in range(6):
        phone.keyboard.press("Tab")
        if phone.evaluate("document.activeElement.classList.contains('act')"):
            break
    assert phone.evaluate("document.activeElement.classList.contains('act')")
