"""The whole job on phones: printed tags, taking off, months later another port, putting back to zero."""

import re
import shutil
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Locator, Page, expect
from sqlalchemy import select

from app.store.checking.lines import line_problems
from app.store.db.models import ItemRow, JournalRow, Tag
from app.store.folder import open_folder
from app.store.journal import last_seq
from app.store.loading import load
from tests.browser.garage import (
    Garage,
    OpenPhone,
    begin,
    expect_landed,
    garage_in,
    make_build,
    pair,
    pairing_address,
    print_sheet,
    take_by_code,
    take_by_photo,
)
from tests.browser.sheets import PrintedTag, photo_of, tags_on

ITEMS = 12
MOST_ACTS = 6
"""More taps than any ladder has rungs."""


def test_a_job_is_taken_off_and_put_back_until_nothing_is_open(open_phone: OpenPhone, tmp_path: Path) -> None:
    first_folder, second_folder = tmp_path / "first", tmp_path / "second"
    phone = open_phone()
    with garage_in(first_folder) as garage:
        begin(phone, garage, name="Mara")
        make_build(phone, title="Blue van, other engine")
        tags = tags_on(print_sheet(phone, garage), tmp_path)
        halves = Counter(tag.half for tag in tags)
        assert halves["A"] == halves["B"] >= ITEMS
        assert len({tag.code for tag in tags}) == halves["A"]
        stuck = [tag for tag in tags if tag.half == "A"][:ITEMS]
        take_off(phone, garage, stuck)
        describe(phone, garage)
        old_port = garage.port

    shutil.copytree(first_folder, second_folder)
    with garage_in(second_folder) as garage:
        assert garage.port != old_port
        # The old tag still opens: its own port is listened on beside the new one.
        open_tag(phone, stuck[2])
        phone.wait_for_url(f"**:{garage.port}/**")  # a page at the old port goes on at the new one
        expect(phone.get_by_role("heading", name="Water pump bolts")).to_be_visible()
        helper = pair_second_phone(phone, open_phone, garage)
        put_everything_back(phone, helper, garage)
        phone.goto(garage.at("/b/1/bay"))
        expect(phone.locator("[data-open-count]")).to_have_text("0")
        helper.goto(garage.at("/b/1/put-back"))
        expect(helper.get_by_text("Nothing waits to go back.")).to_be_visible()

    assert_all_is_back(second_folder, [tag.code for tag in stuck])


def open_tag(page: Page, tag: PrintedTag) -> None:
    """Open a decoded address as the camera's application does."""
    page.goto(tag.address)


def take_off(page: Page, garage: Garage, stuck: list[PrintedTag]) -> None:
    """Record twelve things of every kind: six by photos, six by code, three while the laptop is off."""
    open_tag(page, stuck[0])
    expect(page.get_by_text("New tag")).to_be_visible()
    page.get_by_role("button", name="Make the line without a photo").tap()
    expect(page).to_have_url(re.compile(r"/i/[0-9a-f]{32}"))

    page.goto(garage.at("/b/1/take-off"))
    page.locator("summary", has_text="Where, above").tap()
    page.get_by_role("radio", name=re.compile("^Battery")).check()
    take_by_photo(page, photo_of(stuck[1], seed=1))
    take_by_photo(page, photo_of(stuck[2], seed=2), kind="Fastener group")
    take_by_photo(page, photo_of(stuck[3], seed=3), kind="Part")
    take_by_code(page, stuck[4].code, kind="Locator")
    take_by_code(page, stuck[5].code.lower(), kind="Temporary")
    expect_landed(page, 5)
    take_while_the_laptop_is_off(page, garage, stuck[6:9])
    take_by_photo(page, photo_of(stuck[9], seed=9), kind="Fluid")
    take_by_code(page, stuck[10].code, kind="Connection")
    take_by_code(page, stuck[11].code, kind="Fastener group")
    expect_landed(page, ITEMS - 1)
    expect(page.locator("[data-outbox]")).to_be_hidden()


def take_while_the_laptop_is_off(page: Page, garage: Garage, stuck: list[PrintedTag]) -> None:
    garage.stop()
    take_by_photo(page, photo_of(stuck[0], seed=6), kind="Finding")
    take_by_photo(page, photo_of(stuck[1], seed=7), kind="Connection")
    take_by_code(page, stuck[2].code, kind="Fluid")
    expect(page.locator("[data-outbox]")).to_have_text("3 waiting to send")
    garage.start()
    expect_landed(page, 8)
    expect(page.locator("[data-outbox]")).to_be_hidden()


def describe(page: Page, garage: Garage) -> None:
    """Give words to a fastener group and a ground strap; the rest of the bench list can wait."""
    open_describe_form(page, garage, "#3")
    fill(page, {"Name": "Water pump bolts", "How many": "4", "Thread and length": "M8x1.25x30"})
    fill(page, {"Torque as printed, with its unit": "25", "Shelf place": "Bag 12"})
    page.get_by_role("button", name="Keep, to the list").tap()
    expect(page.get_by_role("alert")).to_be_visible()
    expect(page.get_by_label("Thread and length")).to_have_value("M8x1.25x30")
    fill(page, {"Torque as printed, with its unit": "25 N·m"})
    keep(page)
    open_describe_form(page, garage, "#1 ")
    fill(page, {"Name": "Ground strap, block to frame", "Type": "ground strap"})
    page.get_by_text("A second person looks at it").tap()
    keep(page)


def open_describe_form(page: Page, garage: Garage, number: str) -> None:
    page.goto(garage.at("/b/1/describe"))
    page.get_by_role("link", name=re.compile(number)).first.tap()
    expect(page.get_by_label("Name", exact=True)).to_be_visible()


def fill(page: Page, values: dict[str, str]) -> None:
    for label, value in values.items():
        page.get_by_label(label, exact=True).fill(value)


def keep(page: Page) -> None:
    page.get_by_role("button", name="Keep, to the list").tap()
    expect(page.get_by_text("is described.")).to_be_visible()


def pair_second_phone(page: Page, open_phone: OpenPhone, garage: Garage) -> Page:
    address = pairing_address(page, garage, "Helper")
    helper = open_phone()
    pair(helper, address, name="Ilse")
    return helper


def put_everything_back(owner: Page, helper: Page, garage: Garage) -> None:
    """Go down the list until only what waits for another's look is left; then the other one looks."""
    go_down_the_list(owner, garage)
    refuse_the_doer(owner)
    decide_the_finding(owner, garage)
    take_the_second_look(helper, garage)
    start_and_drive(owner, garage)


def go_down_the_list(page: Page, garage: Garage) -> None:
    """Take each thing up its ladder as long as one of them can be; what must come first goes first."""
    page.goto(garage.at("/b/1/put-back"))
    left = ""
    while (now := page.locator("[data-open-count]").inner_text()) != left:
        left = now
        for name in rows_on(page, garage):
            climb(page, garage, name)
            expect(page.locator("[data-outbox]")).to_be_hidden()
        page.goto(garage.at("/b/1/put-back"))


def rows_on(page: Page, garage: Garage) -> list[str]:
    page.goto(garage.at("/b/1/put-back"))
    found: list[str] = page.locator("[data-row]").evaluate_all("rows => rows.map((row) => row.dataset.row)")
    assert len(found) == len(set(found))
    return found


def climb(page: Page, garage: Garage, name: str) -> None:
    """Open the card and tap the next act until the ladder ends, or until another person is asked for."""
    page.goto(garage.at(f"/i/{name}"))
    card = page.locator("body")
    button = card.locator("[data-next]").first
    for _ in range(MOST_ACTS):
        if not button.is_visible() or "second look" in button.inner_text():
            return
        if card.locator("[name=reached]").is_visible():
            say_what_it_reached(card)
        else:
            tap_next(card)
    raise AssertionError(name)


def tap_next(place: Locator, button: Locator | None = None) -> None:
    """Tap the next act, or another button of its form, and wait until the laptop has written it down."""
    form = place.locator("[data-mark]")
    before = form.get_attribute("data-last") or ""
    (button or place.locator("[data-next]")).tap()
    expect(form).not_to_have_attribute("data-last", before)
    expect(place.locator("[data-said]")).to_have_text("Written down")


def say_what_it_reached(row: Locator) -> None:
    if row.get_by_text("25 N·m").first.is_visible():
        row.get_by_label("The wrench showed").fill("25")
        tap_next(row)
    else:
        tap_next(row, row.get_by_role("button", name="By feel"))


def refuse_the_doer(page: Page) -> None:
    """The person who did it cannot be chosen for the second look, and nobody is chosen for them."""
    page.get_by_role("link", name=re.compile("Ground strap")).first.tap()
    row = page.locator("body")
    expect(row.get_by_role("radio", name=re.compile("Mara"))).to_be_disabled()
    row.locator("[data-next]").tap()
    expect(row.locator("[data-said]")).to_contain_text("another person than the one who did it")
    expect(page.locator("[data-open-count]")).to_have_text("4")  # the start and the drive wait for it


def decide_the_finding(page: Page, garage: Garage) -> None:
    page.goto(garage.at("/b/1/ledger"))
    page.get_by_role("link", name=re.compile("Finding")).tap()
    page.get_by_label("What was decided").fill("drill the stud out")
    tap_next(page.locator("body"))


def take_the_second_look(page: Page, garage: Garage) -> None:
    page.goto(garage.at("/b/1/put-back"))
    page.get_by_role("link", name=re.compile("Ground strap")).first.tap()
    expect(page.get_by_role("radio", name=re.compile("Ilse"))).to_be_checked()
    tap_next(page.locator("body"))


def start_and_drive(page: Page, garage: Garage) -> None:
    """Go on past the checks before them: that is one tap more, and small."""
    for name in rows_on(page, garage):
        page.goto(garage.at(f"/i/{name}"))
        page.get_by_text("Do it out of turn").tap()
        tap_next(page.locator("body"), page.locator("[data-part='out-of-turn'] [data-next]"))
        expect(page.locator("[data-outbox]")).to_be_hidden()


def assert_all_is_back(path: Path, codes: list[str]) -> None:
    """Read the database: no open line, each thing once, the kept states equal to what the journal says."""
    folder = open_folder(path, now=datetime.now(UTC))
    try:
        with folder.database.reading() as session:
            build = load(session, 1, last_seq(session))
            assert build
            assert {entry.item.number: entry.reasons for entry in build.open} == {}
            assert [entry.item.number for entry in build.items] == list(range(1, ITEMS + 1))
            assert len({entry.item.kind for entry in build.items}) == 7
            given = session.execute(select(Tag.code, Tag.subject).where(Tag.subject.is_not(None))).all()
            assert sorted(code for code, _ in given) == sorted(codes)
            assert len({subject for _, subject in given}) == ITEMS
            assert len(session.scalars(select(ItemRow)).all()) == ITEMS
            added = session.scalars(select(JournalRow.subject).where(JournalRow.verb == "add")).all()
            assert max(Counter(added).values()) == 1
            assert list(line_problems(session)) == []
    finally:
        folder.close()
