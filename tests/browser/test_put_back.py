"""The list of putting back, left open on the phone: a mark changes what waited for it, and the count."""

import re
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.garage import Garage, expect_landed, print_sheet, take_by_code
from tests.browser.sheets import tags_on


def take(page: Page, garage: Garage, code: str, kind: str) -> None:
    """Take something off by a printed code; the count at the top follows without a reload."""
    page.goto(garage.at("/b/1/take-off"))
    before = page.locator("[data-open-count]").inner_text()
    take_by_code(page, code, kind=kind)
    expect_landed(page, 1)
    expect(page.locator("[data-open-count]")).not_to_have_text(before)


def test_what_waited_for_a_thing_is_free_as_soon_as_that_is_in(
    owner: Page, garage: Garage, tmp_path: Path
) -> None:
    codes = sorted({tag.code for tag in tags_on(print_sheet(owner, garage), tmp_path)})
    take(owner, garage, codes[0], "Part")
    take(owner, garage, codes[1], "Fastener group")
    owner.goto(garage.at(f"/T/{codes[1]}"))
    owner.get_by_role("link", name="Words, place, torque").tap()
    owner.get_by_label("Holds (item numbers)").fill("1")
    owner.get_by_role("button", name="Keep, to the list").tap()
    owner.wait_for_url("**/b/1/describe")
    owner.goto(garage.at("/b/1/put-back"))
    part, bolts = (
        owner.locator("[data-row]").filter(has=owner.locator(".row-title", has_text=f"#{number} "))
        for number in (1, 2)
    )
    expect(bolts).to_contain_text("waits for #1")
    expect(bolts.locator("[data-next]")).to_have_text(re.compile("skips 1 earlier"))

    part.locator("[data-next]").tap()
    expect(bolts).not_to_contain_text("waits for #1")
    expect(bolts.locator("[data-next]")).to_have_text("Next: in position")
    expect(bolts).not_to_have_class(re.compile("put-held"))
