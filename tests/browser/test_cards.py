"""The card in the hand: what its first screen holds, how long it is, the act under the thumb, the photos."""

import re
from contextlib import closing
from typing import Any

import pytest
from playwright.sync_api import FilePayload, Page, Request, expect

from app.store.db.database import read_only
from app.store.demo.drawn_photos import draw_photo
from app.store.folder import DATABASE_FILE
from tests.browser.garage import Garage, OpenPhone
from tests.browser.test_pages import assert_readable

SCREEN = {"width": 390, "height": 664}
"""A phone's first screen: the browser's own bars take the rest."""
LEAST_PHOTO = 100
"""How much of the photo the first screen shows at the least, [px]."""
LONGEST = 2 * 664
ACT = 115
"""20 mm on a screen that is 390 px wide."""
MOST_TABS = 12
MOST_BYTES = 120_000

MEASURE = """() => {
  const at = (name) => document.querySelector(name)?.getBoundingClientRect();
  const [photo, dock, act, torque] = ['.face-photo img', '.dock', '.dock .act', '.face-torque'].map(at);
  const number = document.querySelector('.face-number') ?? document.body;
  const large = parseFloat(getComputedStyle(number).fontSize);
  const figure = document.querySelector('.torque-value:not(.torque-long)');
  return {
    photo: photo && Math.min(photo.bottom, dock.top) - photo.top, top: photo?.top,
    length: document.documentElement.scrollHeight, width: document.documentElement.scrollWidth,
    act: act?.height, foot: act?.bottom, torque: torque && dock.top - torque.bottom,
    figure: figure && parseFloat(getComputedStyle(figure).fontSize) - large,
  };
}"""


def rows(demo: Garage, question: str, *values: object) -> list[tuple[Any, ...]]:
    with closing(read_only(demo.folder / DATABASE_FILE)) as database:
        return database.execute(question, values).fetchall()


@pytest.fixture
def phone(open_phone: OpenPhone, demo_state: Any) -> Page:
    return open_phone(storage_state=demo_state, viewport=SCREEN)


@pytest.fixture
def photographed(demo: Garage) -> list[str]:
    """The cards with a photo."""
    found = rows(demo, "SELECT DISTINCT subject FROM shows WHERE subject LIKE 'item:%' ORDER BY subject")
    return [str(subject).partition(":")[2] for (subject,) in found]


def test_the_first_screen_of_every_card_holds_its_photo_its_torque_and_the_act(
    phone: Page, demo: Garage
) -> None:
    cards = [row[0] for row in rows(demo, "SELECT id FROM item ORDER BY number")]
    cards += [row[0] for row in rows(demo, "SELECT id FROM step WHERE direction = 'on_only'")]
    wrong: list[tuple[str, str, float]] = []
    photos = 0
    for card in cards:
        phone.goto(demo.at(f"/i/{card}"))
        seen = phone.evaluate(MEASURE)
        photos += seen["photo"] is not None
        limits = {
            "photo": (seen["photo"], LEAST_PHOTO, None),
            "top": (seen["top"], 0, SCREEN["height"]),
            "length": (seen["length"], 0, LONGEST),
            "width": (seen["width"], 0, SCREEN["width"]),
            "act": (seen["act"], ACT, None),
            "foot": (seen["foot"], 0, SCREEN["height"]),
            "torque": (seen["torque"], 0, None),
            "figure": (seen["figure"], 1, None),
        }
        wrong += [
            (card, what, value)
            for what, (value, least, most) in limits.items()
            if value is not None and (value < least or (most is not None and value > most))
        ]
    assert wrong == []
    assert photos > 50


def test_a_card_with_the_longest_words_is_two_screens_long(phone: Page, demo: Garage) -> None:
    bolts = rows(demo, "SELECT id FROM item WHERE name = 'Flywheel bolts, new engine'")[0][0]
    phone.goto(demo.at(f"/i/{bolts}/describe"))
    name = phone.get_by_label("Name", exact=True)
    before = name.input_value()
    name.fill("Long " * 23 + "name")
    phone.get_by_role("button", name="Keep, to the list").tap()
    phone.wait_for_url("**/b/1/describe")
    phone.goto(demo.at(f"/i/{bolts}"))
    expect(phone.get_by_role("heading", name="Long Long")).to_be_visible()
    assert phone.evaluate(MEASURE)["length"] <= LONGEST
    phone.goto(demo.at(f"/i/{bolts}/describe"))
    phone.get_by_label("Name", exact=True).fill(before)
    phone.get_by_role("button", name="Keep, to the list").tap()
    phone.wait_for_url("**/b/1/describe")


def test_the_act_is_among_the_first_tab_stops(open_phone: OpenPhone, demo: Garage, demo_state: Any) -> None:
    page = open_phone(storage_state=demo_state, viewport=SCREEN, is_mobile=False)
    stops = []
    for name in ("Radiator", "Valve cover bolts, new engine", "Oil pan bolts, new engine"):
        item = rows(demo, "SELECT id FROM item WHERE name = ?", name)[0][0]
        page.goto(demo.at(f"/i/{item}"))
        for stop in range(1, 40):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.matches('.dock .act')"):
                stops.append(stop)
                break
    assert len(stops) == 3
    assert max(stops) <= MOST_TABS, stops


def test_a_card_is_light_to_carry(
    open_phone: OpenPhone, demo: Garage, demo_state: Any, photographed: list[str]
) -> None:
    page = open_phone(storage_state=demo_state, viewport=SCREEN)
    finished: list[Request] = []

    def note(request: Request) -> None:
        finished.append(request)

    page.on("requestfinished", note)
    page.goto(demo.at(f"/i/{photographed[0]}"), wait_until="networkidle")
    sizes = {request.url: request.sizes()["responseBodySize"] for request in finished}
    assert any("for=card" in url for url in sizes)
    assert sum(sizes.values()) < MOST_BYTES, sizes


def test_a_photo_opens_large_and_back_leads_to_the_card_with_what_was_typed(
    phone: Page, demo: Garage
) -> None:
    oil = rows(demo, "SELECT id FROM item WHERE name = 'Gear oil'")[0][0]
    phone.goto(demo.at(f"/i/{oil}"))
    for seed in (1, 2):
        picture = draw_photo("hose", variety=seed, words="", card=None)
        phone.locator("[data-add-photo] input[type=file]").set_input_files(
            FilePayload(name="p.jpg", mimeType="image/jpeg", buffer=picture)
        )
        expect(phone.locator("[data-photo-said]")).to_have_text("Photo added")
    expect(phone.get_by_text("1 of 2")).to_be_visible()
    phone.get_by_label("Liters", exact=True).fill("1.9")
    photo = phone.locator(".face-photo")
    for back in ("link", "browser"):
        photo.tap()
        expect(phone).to_have_url(re.compile(r"/photos/1$"))
        phone.get_by_role("link", name="Next").tap()
        expect(phone).to_have_url(re.compile(r"/photos/2$"))
        expect(phone.get_by_role("img", name="Photo 2 of 2")).to_be_visible()
        if back == "link":
            phone.get_by_role("link", name="Back").tap()
        else:
            phone.go_back()
        expect(phone).to_have_url(re.compile(rf"/i/{oil}$"))
        expect(phone.get_by_label("Liters", exact=True)).to_have_value("1.9")


def test_a_photo_grows_by_its_buttons_and_goes_on_by_keys(
    open_phone: OpenPhone, demo: Garage, demo_state: Any, photographed: list[str]
) -> None:
    page = open_phone(storage_state=demo_state, viewport=SCREEN, is_mobile=False)
    two = rows(
        demo, "SELECT subject FROM shows WHERE subject LIKE 'item:%' GROUP BY subject HAVING count(*) > 1"
    )
    item = str(two[0][0]).partition(":")[2] if two else photographed[0]
    page.goto(demo.at(f"/i/{item}/photos/1"))
    width = "document.querySelector('[data-photo]').getBoundingClientRect().width"
    before = page.evaluate(width)
    page.get_by_role("link", name="Larger").click()
    assert page.evaluate(width) == pytest.approx(2 * before, abs=2)
    page.get_by_role("link", name="Smaller").click()
    assert page.evaluate(width) == pytest.approx(before, abs=2)
    if two:
        page.keyboard.press("ArrowRight")
        expect(page).to_have_url(re.compile(r"/photos/2$"))
        page.keyboard.press("ArrowLeft")
        expect(page).to_have_url(re.compile(r"/photos/1$"))
    page.keyboard.press("Escape")
    expect(page).to_have_url(re.compile(rf"/i/{item}$"))


def test_the_large_photo_has_no_fault_that_keeps_somebody_out(
    open_phone: OpenPhone, demo: Garage, demo_state: Any, photographed: list[str]
) -> None:
    page = open_phone(storage_state=demo_state, is_mobile=False)
    page.goto(demo.at(f"/i/{photographed[0]}/photos/1"))
    assert_readable(page)
