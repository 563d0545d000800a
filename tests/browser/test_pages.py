"""Every main page: readable by anyone, in both schemes, at every width, by keyboard alone, and small."""

import re
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, Request, expect

from app.core.gates.by_phase import GATES
from app.core.items.kinds import ITEM_KINDS
from app.store.db.database import read_only
from app.store.folder import DATABASE_FILE
from tests.browser.garage import Garage, OpenPhone, garage_in, pairing_address

LOOKED_AT = [(390, 844), (1280, 800)]
NARROW = [(360, 640), (640, 400)]
"""The narrowest phone, and a screen of 1280 × 800 at 200 %."""

RULES = {
    "resultTypes": ["violations"],
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    },
    "rules": {"target-size": {"enabled": True}},
}
MOST_BYTES = 60_000
"""What the first capture page may carry over the air, [bytes]."""

PAGES = {
    "bay": "/b/1/bay",
    "bay below": "/b/1/bay?level=below",
    "take off": "/b/1/take-off",
    "new tag": "/T/{blank}/A",
    "void tag or none": "/T/nothing",
    "tray": "/b/1/tray",
    "to describe": "/b/1/describe",
    "ledger": "/b/1/ledger",
    "ledger by step": "/b/1/ledger?by=step",
    "whole ledger": "/b/1/ledger?all=1",
    "plan": "/b/1/plan",
    "plan for one": "/b/1/plan?people=1",
    "put back": "/b/1/put-back",
    "all that went back": "/b/1/put-back?all=1",
    "now": "/b/1/now",
    "now, what cannot be done": "/b/1/now?people=1&height=stands&held=15",
    "put back differently": "/i/{fastener}/exceptions",
    "find": "/b/1/find",
    "found": "/b/1/find?q=bolt",
    "not found": "/b/1/find?q=zzzz",
    "places": "/b/1/places",
    "place": "/places/{place}",
    "status": "/b/1/status",
    "desk": "/b/1/desk",
    "print": "/b/1/print",
    "steps": "/b/1/steps",
    "step": "/steps/{step}",
    "settings": "/b/1/settings",
    "new build": "/builds/new",
    "crew": "/b/1/crew",
    "pairing, made up": "/pair/made-up",
    "start, spent": "/start/spent",
    "knock": "/knock",
    "no such page": "/nothing",
    "waiting": "/outbox",
    "torque values": "/b/1/torques",
    "paste torques": "/b/1/torques/paste",
    "a bolt in the hand": "/b/1/found",
    "wrenches": "/b/1/wrenches",
    "gates": "/b/1/gates",
    **{f"gate {key}": f"/b/1/gates/{key}" for key in GATES},
    "where the engine is": "/b/1/engine",
    "how it comes out": "/b/1/route",
    "readings": "/b/1/torques/readings",
    "after the start": "/b/1/rechecks",
    "coming back": "/b/1/coming-back",
    "mark the rest of a zone": "/b/1/zones/{zone}/mark",
    "to get": "/b/1/to-get",
    "away": "/b/1/away",
    "an item away that is not there": "/b/1/away?number=9999",
    "hand-over sheet": "/b/1/away/sheet?whom=an+invented+machine+shop",
    "leaving": "/b/1/leaving",
    "engines": "/b/1/engines",
    "undecided": "/b/1/undecided",
    "send away": "/i/{part}/outstanding?category=away",
    "a wait": "/outstanding/{wait}",
    "something wrong": "/i/{part}/finding",
    "from a list": "/b/1/list",
    **{f"describe {kind}": f"/i/{{{kind}}}/describe" for kind in ITEM_KINDS},
    **{f"card of {kind}": f"/i/{{{kind}}}" for kind in ITEM_KINDS},
    "card of a step": "/i/{on_only}",
}


@pytest.fixture(scope="module")
def known(demo: Garage) -> dict[str, str]:
    """Return an id of each sort of thing that the demo has."""
    with closing(read_only(demo.folder / DATABASE_FILE)) as database:
        found = dict(database.execute("SELECT kind, min(id) FROM item GROUP BY kind"))
        for key, question in {
            "blank": "SELECT min(code) FROM tag WHERE subject IS NULL AND void_at IS NULL",
            "place": "SELECT parent_id FROM place WHERE parent_id IS NOT NULL",
            "step": "SELECT min(id) FROM step",
            "zone": "SELECT zone_id FROM item WHERE zone_id IS NOT NULL",
            "wait": "SELECT min(id) FROM outstanding",
            "on_only": "SELECT id FROM step WHERE direction = 'on_only'",
        }.items():
            found[key] = database.execute(question).fetchone()[0]
    return found


@pytest.fixture
def bench(open_phone: OpenPhone, demo_state: Any) -> Page:
    """The owner's browser on the demo, of any size."""
    return open_phone(storage_state=demo_state, is_mobile=False)


def assert_readable(page: Page) -> None:
    """Look for faults in both schemes at both sizes, and for anything that stands out sideways."""
    found = []
    page.evaluate(Axe().axe_script)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        for width, height in LOOKED_AT:
            page.set_viewport_size({"width": width, "height": height})
            found += [
                (scheme, width, fault["id"], node["target"], node["failureSummary"])
                for fault in page.evaluate("async (rules) => (await axe.run(rules)).violations", RULES)
                for node in fault["nodes"]
                if fault["id"] != "target-size" or is_small_in_sight(page, node["target"][0])
            ]
    assert found == []
    assert [(width, seen) for width, seen in sideways(page) if seen > width] == []


def is_small_in_sight(page: Page, target: str) -> bool:
    """Look again at what a bar at the foot may have covered by chance, where it is whole."""
    page.locator(target).first.evaluate("each => each.scrollIntoView({ block: 'center' })")
    look = "async (target) => (await axe.run(target, { runOnly: ['target-size'] })).violations.length > 0"
    still: bool = page.evaluate(look, target)
    page.evaluate("scrollTo(0, 0)")
    return still


def sideways(page: Page) -> Iterator[tuple[int, int]]:
    """Give each narrow width and how wide the page is in it."""
    for width, height in NARROW:
        page.set_viewport_size({"width": width, "height": height})
        yield width, page.evaluate("document.documentElement.scrollWidth")


@pytest.mark.parametrize("name", PAGES)
def test_a_page_has_no_fault_that_keeps_somebody_out(
    bench: Page, demo: Garage, known: dict[str, str], name: str
) -> None:
    bench.goto(demo.at(PAGES[name].format(**known)))
    expect(bench.locator("h1")).to_be_visible()
    assert_readable(bench)


def test_the_doors_have_no_fault_that_keeps_somebody_out(
    bench: Page, open_phone: OpenPhone, demo: Garage
) -> None:
    address = pairing_address(bench, demo, "Helper")
    assert_readable(bench)
    phone = open_phone(is_mobile=False)
    phone.goto(address)
    expect(phone.get_by_role("button", name="Let this phone in")).to_be_visible()
    assert_readable(phone)


def test_a_form_with_a_fault_in_it_has_none_of_its_own(
    bench: Page, demo: Garage, known: dict[str, str]
) -> None:
    bench.goto(demo.at(f"/i/{known['fastener']}/describe"))
    bench.get_by_label("Torque as printed, with its unit").fill("25")
    bench.get_by_role("button", name="Keep, to the list").tap()
    expect(bench.get_by_role("alert")).to_be_visible()
    assert_readable(bench)


def test_the_start_page_has_no_fault_before_it_is_spent(open_phone: OpenPhone, tmp_path: Path) -> None:
    with garage_in(tmp_path) as fresh:
        page = open_phone(is_mobile=False)
        page.goto(fresh.start_link)
        expect(page.get_by_role("button", name="Begin on this computer")).to_be_visible()
        assert_readable(page)


def test_the_keyboard_alone_describes_an_item(open_phone: OpenPhone, demo: Garage, demo_state: Any) -> None:
    page = open_phone(storage_state=demo_state, is_mobile=False, viewport={"width": 1280, "height": 800})
    page.goto(demo.at("/b/1/describe"))
    tab_to(page, "Describe the first")
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/describe$"))
    expect(page.get_by_label("Name", exact=True)).to_be_visible()
    tab_to(page, "name")
    page.keyboard.type("Written by keyboard alone")
    tab_to(page, "Keep, and the next")
    page.keyboard.press("Enter")
    expect(page.get_by_text("is described.")).to_be_visible()
    page.goto(demo.at("/b/1/find?q=keyboard+alone"))
    expect(page.get_by_role("link", name=re.compile("Written by keyboard alone"))).to_be_visible()


def tab_to(page: Page, what: str) -> None:
    """Press Tab until the field of that name, or what has those words, is in focus."""
    for _ in range(80):
        page.keyboard.press("Tab")
        if what in page.evaluate("(({ name, textContent }) => [name, textContent])(document.activeElement)"):
            return
    raise AssertionError(f"{what} is out of the keyboard's reach")


def test_the_first_capture_page_is_small(open_phone: OpenPhone, demo: Garage, demo_state: Any) -> None:
    page = open_phone(storage_state=demo_state)
    finished: list[Request] = []

    def note(request: Request) -> None:
        finished.append(request)

    page.on("requestfinished", note)
    page.goto(demo.at("/b/1/take-off"), wait_until="networkidle")
    sizes = {request.url: request.sizes()["responseBodySize"] for request in finished}
    assert any(url.endswith("outbox.js") for url in sizes)
    assert sum(sizes.values()) < MOST_BYTES, sizes


@pytest.mark.parametrize(
    ("row", "says"),
    [("part,Lid,3", "Put 1 row in"), ("bolt,Lid,3", "line 2, torque: The number 3 has no unit")],
)
def test_a_list_that_was_looked_at_is_readable_by_anyone(
    bench: Page, demo: Garage, row: str, says: str
) -> None:
    bench.goto(demo.at("/b/1/list"))
    bench.get_by_label("Or the rows themselves").fill(
        f"kind,name,{'count' if row[0] == 'p' else 'torque'}\n{row}"
    )
    bench.get_by_role("button", name="Look at the list").click()

    expect(bench.get_by_text(says)).to_be_visible()
    assert_readable(bench)
