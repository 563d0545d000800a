"""Tightening by stages with the phone in the hand, the laptop out of reach for a while."""

import json
from contextlib import closing
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from app.store.db.database import read_only
from app.store.folder import DATABASE_FILE
from tests.browser.garage import Garage, choose, expect_landed, print_sheet, take_by_code
from tests.browser.sheets import tags_on


def state(garage: Garage, item: str) -> dict[str, Any]:
    """Return the stored state of an item, read beside the running server."""
    with closing(read_only(garage.folder / DATABASE_FILE)) as database:
        query = "SELECT state FROM item_state WHERE subject = ?"
        found: dict[str, Any] = json.loads(database.execute(query, (f"item:{item}",)).fetchone()[0])
        return found


def new_group(page: Page, garage: Garage, folder: Path) -> str:
    """Take a fastener group off by a printed code, describe it, and return its id."""
    code = max(tag.code for tag in tags_on(print_sheet(page, garage), folder))
    page.goto(garage.at("/b/1/take-off"))
    take_by_code(page, code, kind="Fastener group")
    expect_landed(page, 1)
    page.goto(garage.at(f"/T/{code}"))
    page.get_by_role("link", name="Edit", exact=True).tap()
    page.get_by_label("Name").fill("Rocker cover bolts")
    page.get_by_label("How many").fill("6")
    page.get_by_label("Torque as printed, with its unit").fill("20 N·m then 40 N·m + 60°")
    page.get_by_text("Pattern, lengths, holes").tap()
    page.get_by_label("How the bolts lie").select_option("circle")
    item = page.url.split("/i/")[1].split("/")[0]
    page.get_by_role("button", name="Keep, to the list").tap()
    page.wait_for_url("**/b/1/describe")
    return item


def test_stage_by_stage_with_the_laptop_away(owner: Page, garage: Garage, tmp_path: Path) -> None:
    item = new_group(owner, garage, tmp_path)
    owner.goto(garage.at(f"/i/{item}"))
    owner.locator("summary", has_text="Tightening order").tap()
    expect(owner.get_by_role("img", name="Tightening order")).to_be_visible()
    owner.get_by_role("button", name="Next bolt").tap()
    expect(owner.get_by_text("Next: 2, hole 4.")).to_be_visible()
    owner.context.set_offline(True)
    for words in (
        "in position",
        "hand-tight",
        "stage 1 of 3: 20 N·m",
        "stage 2 of 3: 40 N·m",
        "final stage: + 60°, striped",
    ):
        button = owner.get_by_role("button", name=f"Next: {words}")
        expect(button).not_to_have_attribute("aria-disabled", "true")
        if words.startswith("final"):
            expect(owner.get_by_label("Or the angle gauge showed")).to_have_value("")
            expect(button).to_contain_text("Marks lined up at 60°")
        else:
            expect(owner.get_by_label("Or the angle gauge showed")).to_be_hidden()
        button.tap()
        if words == "hand-tight":
            expect(owner.get_by_text("Next: 1.")).to_be_visible()
    expect(owner.locator("[data-outbox]")).to_have_text("5 waiting to send")
    owner.context.set_offline(False)
    owner.evaluate("dispatchEvent(new Event('online'))")
    expect(owner.locator("[data-outbox]")).to_be_hidden()
    positions = state(garage, item)["positions"]
    assert {p["act"] for p in positions} == {"tight"}
    assert {(p["reached"], p["told"]) for p in positions} == {("60°", "marks lined up")}
    expect(owner.get_by_role("list", name="Stages").get_by_text("done")).to_have_count(3)
    owner.goto(garage.at(f"/i/{item}"))
    expect(owner.get_by_role("list", name="Stages").get_by_text("done")).to_have_count(3)
    expect(owner.get_by_text("Closed.")).to_be_visible()


def add_click_wrench(page: Page, garage: Garage) -> None:
    page.goto(garage.at("/b/1/wrenches"))
    for label, value in (("Name", "Small click"), ("Lowest marked value", "40"), ("Full scale", "200")):
        page.get_by_label(label).first.fill(value)
    page.get_by_label("Graduation").first.fill("1")
    page.get_by_label("Unit").first.select_option("lb·in")
    page.locator("form").filter(has=page.get_by_label("Graduation")).get_by_role("button").last.tap()
    expect(page.get_by_text("Small click").first).to_be_visible()


def test_a_click_is_one_tap_and_enter_in_the_box_is_none(owner: Page, garage: Garage, tmp_path: Path) -> None:
    item = new_group(owner, garage, tmp_path)
    owner.goto(garage.at(f"/i/{item}/describe"))
    owner.get_by_label("Torque as printed, with its unit").fill("max. 80 lb-in")
    owner.get_by_role("button", name="Keep, to the list").tap()
    expect(owner.get_by_text("It is a most value, not one to aim at.")).to_be_visible()
    choose(owner, "I checked the manual: this is right")
    owner.get_by_role("button", name="Keep, to the list").tap()
    owner.wait_for_url("**/b/1/describe")
    add_click_wrench(owner, garage)
    owner.goto(garage.at(f"/i/{item}"))
    expect(owner.get_by_text("Reading confirmed by")).to_be_visible()
    for words in ("in position", "hand-tight"):
        button = owner.get_by_role("button", name=f"Next: {words}")
        expect(button).not_to_have_attribute("aria-disabled", "true")
        button.tap()
    large = owner.locator("[data-next]")
    expect(large).to_contain_text("Clicked at")
    expect(large).not_to_have_attribute("aria-disabled", "true")
    owner.locator("summary", has_text="Read off, or by feel").tap()
    owner.get_by_label("Or the wrench showed").press("Enter")
    expect(owner.locator("[data-said]")).to_have_text("Type the value that it showed, or tap “By feel”.")
    expect(large).not_to_have_attribute("aria-disabled", "true")
    said = large.inner_text().splitlines()[0]
    large.tap()
    expect(owner.locator("[data-outbox]")).to_be_hidden()
    expect(owner.get_by_text("Closed.")).to_be_visible()
    kept = state(garage, item)["positions"]
    assert {f"Clicked at {p['reached']}" for p in kept} == {said}
    assert {(p["told"], p["wrench"]) for p in kept} == {("clicked", "Small click")}
