"""Taking off on a phone: what a capture costs, and that the fortieth costs what the first did."""

import io
import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count
from typing import Any

import pytest
from PIL import Image, ImageFilter
from playwright.sync_api import Locator, Page, expect

from app.core.tags import draw_code, shown
from app.store.demo.drawn_photos import TagCard, draw_photo
from tests.browser.garage import (
    NAME,
    PHOTO_WAIT_S,
    Garage,
    OpenPhone,
    pair,
    pairing_address,
    take_by_code,
    take_by_photo,
)
from tests.browser.test_pages import assert_readable
from tests.patience import milliseconds

FIRST_SCREEN = {"width": 390, "height": 664}
"""What the browser's bars leave of a phone."""

LEAST_SHUTTER = 115
"""20 mm on a phone that is 390 wide, [px]."""

LEAST_MARK = 48
"""[px]"""

TEARDOWN = [
    ("Battery", "Connection", 2),
    ("Air cleaner", "Connection", 2),
    ("Air cleaner", "Fastener group", 1),
    ("Air cleaner", "Part", 1),
    ("Top", "Connection", 4),
    ("Left bank", "Connection", 4),
    ("Left bank", "Fastener group", 1),
    ("Left bank", "Part", 1),
    ("Right bank", "Connection", 4),
    ("Right bank", "Fastener group", 1),
    ("Top", "Fastener group", 2),
    ("Top", "Part", 1),
    ("Top", "Temporary", 2),
    ("Radiator", "Fluid", 1),
    ("Radiator", "Connection", 3),
    ("Radiator", "Part", 2),
    ("Pulley", "Part", 2),
    ("Oil pan", "Fluid", 1),
    ("Oil pan", "Fastener group", 2),
    ("Flywheel end, rear", "Fastener group", 2),
    ("Flywheel end, rear", "Locator", 1),
]
"""Zone, kind, and how many are taken one after the other: 40 in all, as an intake and a front come off."""


@dataclass
class Thumb:
    """A thumb that counts what it does besides the camera's own."""

    page: Page
    taps: int = 0
    swipes: int = 0

    def tap(self, target: Locator) -> None:
        """Tap what is in sight; what has to be scrolled to costs a swipe."""
        if not target.evaluate(IN_SIGHT):
            self.swipes += 1
        target.tap()
        self.taps += 1


IN_SIGHT = """(each) => {
  const { left, top, right, bottom } = each.getBoundingClientRect();
  const at = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
  const own = each.closest('label, .bay-zone, .chip') ?? each;
  return left >= 0 && top >= 0 && right <= innerWidth && bottom <= innerHeight && own.contains(at);
}"""


@dataclass(frozen=True, slots=True)
class Stuck:
    """A tag stuck on something, and the photograph of both."""

    code: str
    photo: bytes


@pytest.fixture(scope="module")
def stuck(garage: Garage) -> Iterator[Stuck]:
    """Yield a tag that nothing has yet, again and again."""
    chance = random.Random(garage.port)  # noqa: S311 - a test's draw

    def each() -> Iterator[Stuck]:
        for nth in count():
            code = draw_code(chance.choice)
            yield Stuck(
                code, draw_photo("hose", variety=nth, words="", card=TagCard(NAME, garage.port, code))
            )

    return each()


@pytest.fixture
def phone(open_phone: OpenPhone, owner_state: Any, garage: Garage) -> Page:
    """The page left open, on what the browser's bars leave of a phone, with its buzzes written down."""
    page = open_phone(storage_state=owner_state, viewport=FIRST_SCREEN)
    page.add_init_script("window.buzzes = []; navigator.vibrate = (said) => window.buzzes.push(`${said}`);")
    page.goto(garage.at("/b/1/take-off"))
    return page


def expect_number(page: Page, code: str) -> str:
    """Return the number that the page says is to be written on what has this tag."""
    expect(page.locator("[data-what]")).to_contain_text(shown(code), timeout=milliseconds(PHOTO_WAIT_S))
    expect(page.locator("[data-stage]")).to_have_attribute(
        "data-state", "done", timeout=milliseconds(PHOTO_WAIT_S)
    )
    said = page.locator("[data-landed]").inner_text()
    found = re.fullmatch(r"Write\s+(\d+)\s+on the part or bag", said)
    assert found, said
    return found[1]


def heights(page: Page) -> tuple[int, int]:
    """Return how high the page is, and how high the shutter."""
    page_height, shutter = page.evaluate(
        "[document.documentElement.scrollHeight,"
        " Math.round(document.querySelector('[data-shoot]').getBoundingClientRect().height)]"
    )
    return page_height, shutter


def is_in_sight(target: Locator) -> bool:
    return bool(target.evaluate(IN_SIGHT))


def turn_to(thumb: Thumb, chip: str, choice: Locator) -> int:
    """Choose something else by a chip and return what that cost."""
    before = thumb.taps
    thumb.tap(thumb.page.locator("summary", has_text=re.compile(chip)))
    thumb.tap(choice)
    expect(choice).to_be_hidden()
    return thumb.taps - before


def shots() -> Iterator[tuple[str, str]]:
    for zone, kind, how_many in TEARDOWN:
        for _ in range(how_many):
            yield zone, kind


def test_forty_captures_cost_a_tap_each_two_more_where_something_changes_and_no_swipe(
    phone: Page, stuck: Iterator[Stuck]
) -> None:
    thumb, zone, kind, changes = Thumb(phone), "", "Connection", 0
    page_heights, numbers = [], []
    shutter = phone.locator("[data-shoot]")
    for next_zone, next_kind in shots():
        if next_zone != zone:
            tile = phone.get_by_role("radio", name=re.compile(f"^{next_zone}"), include_hidden=True)
            level = "below" if next_zone == "Oil pan" else "above"
            chip = f"^\\s*(Where, )?{level}"
            assert turn_to(thumb, chip, tile) == 2, next_zone
            changes += 1
        if next_kind != kind:
            tile = phone.locator("label.tile").filter(has_text=next_kind)
            assert turn_to(thumb, "^\\s*What", tile) == 2, next_kind
            changes += 1
        zone, kind = next_zone, next_kind
        with phone.expect_file_chooser() as chooser:
            thumb.tap(shutter)
        tag = next(stuck)
        chooser.value.set_files({"name": "p.jpg", "mimeType": "image/jpeg", "buffer": tag.photo})
        numbers.append(int(expect_number(phone, tag.code)))
        expect(phone.locator("[data-what]")).to_contain_text(kind)
        page_heights.append(heights(phone))
        assert is_in_sight(shutter)

    assert len(numbers) == 40
    assert numbers == list(range(numbers[0], numbers[0] + 40))
    assert (thumb.taps, thumb.swipes) == (40 + 2 * changes, 0)
    assert page_heights[0] == page_heights[-1] == (FIRST_SCREEN["height"], LEAST_SHUTTER)
    assert set(page_heights) == {page_heights[0]}
    assert phone.locator("[data-taken] li").count() <= 13
    taken = phone.evaluate("document.querySelector('[data-taken]').scrollWidth")
    assert taken > FIRST_SCREEN["width"], "the row of small ones scrolls by itself"
    assert phone.evaluate("document.documentElement.scrollWidth") == FIRST_SCREEN["width"]


def test_the_first_screen_holds_all_that_a_capture_needs(phone: Page, stuck: Iterator[Stuck]) -> None:
    for _ in range(2):
        tag = next(stuck)
        take_by_photo(phone, tag.photo)
        expect_number(phone, tag.code)
    phone.reload()
    stage = phone.locator("[data-stage]")
    parts = [
        stage.locator("img"),
        stage.get_by_text("Write"),
        stage.get_by_role("button", name="Undo"),
        stage.get_by_role("link", name="Wrong"),
        phone.locator("[data-taken] li").first,
        phone.locator("summary", has_text="More"),
        phone.locator("summary", has_text="What"),
        phone.locator("summary", has_text="above"),
        phone.locator("summary", has_text="below"),
        phone.get_by_label("Job", exact=True),
        phone.get_by_label("Now it is"),
        phone.locator("[data-shoot]"),
    ]
    assert [str(part) for part in parts if not is_in_sight(part)] == []
    touched = [(str(part), part.bounding_box()) for part in parts[2:]]
    assert [name for name, box in touched if not box or box["height"] < LEAST_MARK] == []
    assert heights(phone) == (FIRST_SCREEN["height"], LEAST_SHUTTER)


def test_undo_takes_the_line_back_and_its_tag_is_asked_about_when_it_comes_again(
    phone: Page, garage: Garage, stuck: Iterator[Stuck]
) -> None:
    tag = next(stuck)
    opened = phone.locator("[data-open-count]")
    before = opened.inner_text()
    take_by_code(phone, tag.code)
    number = expect_number(phone, tag.code)
    expect(opened).not_to_have_text(before)
    phone.get_by_role("button", name="Undo").tap()
    expect(phone.locator("[data-landed]")).to_contain_text(f"{number} is undone")
    expect(opened).to_have_text(before)

    take_by_code(phone, tag.code)
    expect(phone.locator("[data-landed]")).to_contain_text(f"{number} is not marked off")
    expect(phone.locator("[data-stage]")).to_have_attribute("data-state", "failed")
    expect(opened).to_have_text(before)
    phone.get_by_role("button", name="Mark it off").tap()
    expect(opened).not_to_have_text(before)
    phone.goto(garage.at(f"/T/{tag.code}"))
    expect(phone.get_by_role("button", name="Undo", exact=True)).to_be_visible()


def test_undo_of_what_waits_on_the_phone_sends_nothing(
    phone: Page, garage: Garage, stuck: Iterator[Stuck]
) -> None:
    code = next(stuck).code
    phone.context.set_offline(True)
    take_by_code(phone, code)
    expect(phone.locator("[data-outbox]")).to_have_text("1 waiting to send")
    phone.get_by_role("button", name="Undo").tap()
    expect(phone.locator("[data-outbox]")).to_be_hidden()
    expect(phone.locator("[data-stage]")).to_have_attribute("data-state", "undone")

    phone.context.set_offline(False)
    phone.goto(garage.at(f"/T/{code}"))
    expect(phone.get_by_text("New tag")).to_be_visible()


def test_the_one_shown_at_opening_is_undone_too_and_none_of_its_number_is_left_to_write(
    phone: Page, stuck: Iterator[Stuck]
) -> None:
    first, second = next(stuck), next(stuck)
    for tag in (first, second):
        take_by_code(phone, tag.code)
        number = expect_number(phone, tag.code)
    phone.reload()
    expect(phone.locator("[data-landed]")).to_contain_text(number)
    with phone.expect_response("**/lines"):
        phone.get_by_role("button", name="Undo").tap()
    expect(phone.locator("[data-landed]")).to_contain_text(f"{number} is undone")
    phone.reload()
    expect(phone.locator("[data-what]")).to_contain_text(shown(first.code))
    expect(phone.locator("[data-taken] [data-state='undone']")).to_contain_text(number)


def looks(what: Locator) -> tuple[str, ...]:
    """Return what tells states apart without words: colours, edges and the shape drawn over the photo."""
    found: list[str] = what.evaluate(
        """(each) => {
          const face = each.querySelector('[data-face], .thumb-in');
          const [own, mark] = [getComputedStyle(each), getComputedStyle(face, '::after')];
          return [own.backgroundColor, mark.display, mark.borderRadius, mark.backgroundImage, mark.height];
        }"""
    )
    return tuple(found)


def test_done_kept_and_failed_differ_in_colour_shape_buzz_and_words(
    phone: Page, stuck: Iterator[Stuck]
) -> None:
    stage, said = phone.locator("[data-stage]"), phone.locator("[data-landed]")
    tag = next(stuck)
    phone.context.set_offline(True)
    take_by_photo(phone, tag.photo)
    expect(said).to_contain_text("Kept on this phone")
    kept, page_heights = looks(stage), [heights(phone)]
    phone.context.set_offline(False)
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect_number(phone, tag.code)
    done = looks(stage)
    page_heights.append(heights(phone))
    take_by_photo(phone, without_tag())
    expect(said).to_contain_text("No tag read", timeout=milliseconds(PHOTO_WAIT_S))
    failed = looks(stage)
    page_heights.append(heights(phone))

    assert set(page_heights) == {(FIRST_SCREEN["height"], LEAST_SHUTTER)}
    assert len({kept[0], done[0], failed[0]}) == 3, "colour"
    assert len({kept[1:], done[1:], failed[1:]}) == 3, "shape"
    buzzes = phone.evaluate("buzzes")
    assert buzzes == ["40", "60,60,60", "40", "400,120,400"]

    take_by_code(phone, next(stuck).code)
    thumb = phone.locator("[data-taken] [data-state='failed']")
    expect(thumb).to_contain_text("no tag")
    thumb.get_by_role("link").tap()
    expect(phone).to_have_url(re.compile("/b/1/tray$"))


def without_tag(*, blur: float = 0.0) -> bytes:
    """Return a photograph of nothing much."""
    picture = Image.effect_noise((1200, 900), 90).resize((1600, 1200))
    out = io.BytesIO()
    picture.filter(ImageFilter.GaussianBlur(blur)).save(out, "JPEG", quality=90)
    return out.getvalue()


@pytest.mark.parametrize(
    ("photo", "asks"),
    [("blurred", "Looks blurred: take it again?"), ("glaring", "Glare in it: take it again?"), ("good", "")],
)
def test_blur_and_glare_are_told_at_once_and_hold_nothing_up(phone: Page, photo: str, asks: str) -> None:
    picture = without_tag(blur=9 if photo == "blurred" else 0)
    if photo == "glaring":
        whole = Image.open(io.BytesIO(picture))
        whole.paste(255, (0, 0, 800, 1200))
        out = io.BytesIO()
        whole.save(out, "JPEG")
        picture = out.getvalue()
    phone.context.set_offline(True)
    take_by_photo(phone, picture)
    expect(phone.locator("[data-outbox]")).to_have_text("1 waiting to send")
    again, keep = (phone.get_by_role("button", name=name) for name in ("Take it again", "Keep it"))
    expect(phone.locator("[data-face] img")).to_be_visible()
    if not asks:
        expect(again).to_be_hidden()
        expect(phone.get_by_role("button", name="Undo")).to_be_visible()
        return
    expect(phone.locator("[data-what]")).to_contain_text(asks)
    with phone.expect_file_chooser():
        again.tap()
    expect(keep).to_be_hidden()
    expect(phone.get_by_role("button", name="Undo")).to_be_visible()


def test_what_waits_on_the_phone_is_shown_again_after_a_reload(phone: Page, stuck: Iterator[Stuck]) -> None:
    code = next(stuck).code
    phone.route("**/lines", lambda route: route.abort())
    take_by_code(phone, code)
    expect(phone.locator("[data-outbox]")).to_have_text("1 waiting to send")
    phone.reload()
    expect(phone.locator("[data-landed]")).to_contain_text("Kept on this phone")
    expect(phone.locator("[data-what]")).to_contain_text(shown(code))
    phone.unroute("**/lines")
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect_number(phone, code)


def test_what_was_refused_is_shown_with_its_reason_after_a_reload(phone: Page) -> None:
    take_by_photo(phone, b"not a photo")
    expect(phone.locator("[data-landed]")).to_contain_text("This file is not a photo")
    phone.reload()
    expect(phone.locator("[data-stage]")).to_have_attribute("data-state", "failed")
    expect(phone.locator("[data-landed]")).to_contain_text("This file is not a photo")
    phone.get_by_role("link", name="Look at it").tap()
    expect(phone).to_have_url(re.compile("/outbox$"))


def test_the_cautions_of_a_job_stand_open_when_it_begins_and_fold_to_their_names(
    phone: Page, stuck: Iterator[Stuck]
) -> None:
    job = phone.get_by_label("Job", exact=True)
    careful = phone.locator("[data-brief][data-unread]").last
    step, line = careful.get_attribute("data-brief"), careful.locator(".line-text").text_content()
    assert step
    assert line
    job.select_option(step)
    brief = phone.locator(f"[data-brief='{step}']")
    expect(brief.locator(".brief-in")).to_be_visible()
    assert is_in_sight(phone.locator("[data-shoot]"))
    tag = next(stuck)
    take_by_photo(phone, tag.photo)
    expect(brief.locator(".brief-in")).to_be_hidden()
    expect(brief.locator("summary")).to_contain_text(line)
    expect_number(phone, tag.code)
    phone.reload()
    expect(job).to_have_value(step)
    expect(brief.locator("summary")).to_be_visible()
    expect(brief.locator(".brief-in")).to_be_hidden()


def test_a_scanned_tag_s_page_is_one_screen_too(phone: Page, garage: Garage, stuck: Iterator[Stuck]) -> None:
    phone.goto(garage.at(f"/T/{next(stuck).code}"))
    assert is_in_sight(phone.get_by_role("button", name="Make the line without a photo"))
    assert heights(phone) == (FIRST_SCREEN["height"], LEAST_SHUTTER)


def test_the_shutter_is_among_the_first_that_tab_comes_to(phone: Page) -> None:
    reached = []
    for _ in range(3):
        phone.keyboard.press("Tab")
        reached.append(phone.evaluate("Boolean(document.activeElement.closest('[data-shoot]'))"))
    assert any(reached)


def test_each_state_is_readable_by_anyone_and_holds_twice_the_text(
    phone: Page, stuck: Iterator[Stuck]
) -> None:
    take_by_photo(phone, next(stuck).photo)
    expect(phone.locator("[data-stage]")).to_have_attribute("data-state", "done")
    take_by_photo(phone, without_tag())
    expect(phone.locator("[data-stage]")).to_have_attribute("data-state", "failed")
    assert_readable(phone)
    phone.context.set_offline(True)
    take_by_code(phone, next(stuck).code)
    expect(phone.locator("[data-stage]")).to_have_attribute("data-state", "waiting")
    assert_readable(phone)
    phone.set_viewport_size({"width": 390, "height": 664})
    phone.evaluate("document.documentElement.style.fontSize = '200%'")
    assert phone.evaluate("document.documentElement.scrollWidth") == FIRST_SCREEN["width"]
    phone.context.set_offline(False)


def test_without_script_a_chip_opens_and_the_form_goes(
    open_phone: OpenPhone, owner_state: Any, garage: Garage, stuck: Iterator[Stuck]
) -> None:
    page = open_phone(storage_state=owner_state, viewport=FIRST_SCREEN, java_script_enabled=False)
    page.goto(garage.at("/b/1/take-off"))
    chip = page.locator("summary", has_text="What")
    kind = "Part" if "Locator" in chip.inner_text() else "Locator"  # another than the one before
    chip.tap()
    page.locator("label.tile").filter(has_text=kind).tap()
    page.mouse.click(195, 20)
    expect(page.locator("label.tile").filter(has_text=kind)).to_be_hidden()
    expect(page.locator("summary", has_text="What").get_by_text("changed")).to_be_visible()
    tag = next(stuck)
    page.locator("[data-shoot] input").set_input_files(
        {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": tag.photo}
    )
    page.locator(".shutter-bar [data-plain]").tap()
    expect(page.locator("[data-what]")).to_contain_text(shown(tag.code))
    expect(page.locator("[data-what]")).to_contain_text(kind)
    page.get_by_role("button", name="Undo").tap()
    expect(page.locator("[data-what]")).not_to_contain_text(shown(tag.code))


def test_an_onlooker_s_phone_shows_a_sentence_and_nothing_to_capture_with(
    phone: Page, open_phone: OpenPhone, garage: Garage, stuck: Iterator[Stuck]
) -> None:
    onlooker = open_phone(viewport=FIRST_SCREEN)
    pair(onlooker, pairing_address(phone, garage, "Onlooker"), name="Pia")
    for path in ("/b/1/take-off", f"/T/{next(stuck).code}"):
        onlooker.goto(garage.at(path))
        expect(onlooker.get_by_text("This phone has joined to look")).to_be_visible()
        expect(onlooker.locator("form, input[type='file'], [data-capture]")).to_have_count(0)
