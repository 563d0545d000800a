"""What waits on a phone lands exactly once, and only from phones that may write."""

from contextlib import closing
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import FilePayload, Page, Route, expect

from app.store.db.database import read_only
from app.store.folder import DATABASE_FILE
from tests.browser.garage import (
    Garage,
    OpenPhone,
    expect_landed,
    pair,
    pairing_address,
    print_sheet,
    take_by_code,
    wait_until,
)
from tests.browser.sheets import tags_on


@pytest.fixture(scope="module")
def codes(
    browser: Any, garage: Garage, owner_state: Any, tmp_path_factory: pytest.TempPathFactory
) -> list[str]:
    """The codes of a printed sheet; each test takes its own off the end."""
    with browser.new_context(storage_state=owner_state, has_touch=True) as context:
        pdf = print_sheet(context.new_page(), garage)
    return sorted({tag.code for tag in tags_on(pdf, tmp_path_factory.mktemp("sheet"))})


def stored(garage: Garage, question: str, *values: str) -> int:
    """Return the number that the database answers, read beside the running server."""
    with closing(read_only(garage.folder / DATABASE_FILE)) as database:
        return int(database.execute(question, values).fetchone()[0])


def lines_of_tag(garage: Garage, code: str) -> tuple[int, int]:
    """Return how many lines gave the tag away, and how many items have it."""
    given = stored(garage, "SELECT count(*) FROM journal WHERE subject = ? AND verb = 'give'", f"tag:{code}")
    return given, stored(garage, "SELECT count(*) FROM tag WHERE code = ? AND subject IS NOT NULL", code)


def items(garage: Garage) -> int:
    return stored(garage, "SELECT count(*) FROM item")


def come_online(page: Page) -> None:
    """Say what a phone says when its network is back; the next try need not wait for its time."""
    page.evaluate("dispatchEvent(new Event('online'))")


def test_an_entry_whose_answer_is_lost_three_times_lands_once(
    owner: Page, garage: Garage, codes: list[str]
) -> None:
    code, before = codes.pop(), items(garage)
    lost: list[int] = []

    def lose_the_answer(route: Route) -> None:
        """Let the laptop have it and the phone hear nothing."""
        if len(lost) == 3:
            route.continue_()
            return
        kept = owner.context.cookies(garage.at("/"))
        cookie = "; ".join(f"{each['name']}={each['value']}" for each in kept)
        answer = route.fetch(
            url=f"http://127.0.0.1:{garage.port}/lines", headers=route.request.headers | {"cookie": cookie}
        )
        lost.append(answer.status)
        route.abort()

    owner.route("**/lines", lose_the_answer)
    owner.goto(garage.at("/b/1/take-off"))
    take_by_code(owner, code)
    for tries in (1, 2, 3):
        # The page tries again by itself too, so what counts is how often, not which try it was.
        wait_until(owner, lambda tries=tries: len(lost) >= tries)  # type: ignore[misc]
        expect(owner.locator("[data-outbox]")).to_have_text("1 waiting to send")
        come_online(owner)
    expect_landed(owner, 1)

    assert lost == [200, 200, 200]
    assert lines_of_tag(garage, code) == (1, 1)
    assert items(garage) == before + 1


def test_a_page_out_of_reach_keeps_taking_and_says_how_many_wait(
    owner: Page, garage: Garage, codes: list[str]
) -> None:
    mine = [codes.pop(), codes.pop()]
    owner.goto(garage.at("/b/1/take-off"))
    expect(owner.locator("[data-outbox]")).to_be_hidden()
    owner.context.set_offline(True)
    for waiting, code in enumerate(mine, start=1):
        take_by_code(owner, code, kind="Part")
        expect(owner.locator("[data-outbox]")).to_have_text(f"{waiting} waiting to send")
    assert [lines_of_tag(garage, code) for code in mine] == [(0, 0), (0, 0)]

    owner.context.set_offline(False)
    expect_landed(owner, 2)
    expect(owner.locator("[data-outbox]")).to_be_hidden()
    assert [lines_of_tag(garage, code) for code in mine] == [(1, 1), (1, 1)]


def test_what_waits_is_sent_by_the_next_page_that_opens(
    owner: Page, garage: Garage, codes: list[str]
) -> None:
    code = codes.pop()
    owner.goto(garage.at("/b/1/take-off"))
    owner.route("**/lines", lambda route: route.abort())
    take_by_code(owner, code)
    expect(owner.locator("[data-outbox]")).to_have_text("1 waiting to send")
    other = owner.context.new_page()
    owner.close()

    with other.expect_response("**/lines") as answered:
        other.goto(garage.at("/b/1/put-back"))

    assert answered.value.status == 200
    assert lines_of_tag(garage, code) == (1, 1)


def test_a_refused_code_says_why_and_stands_in_its_field_again(owner: Page, garage: Garage) -> None:
    before = items(garage)
    owner.goto(garage.at("/b/1/take-off"))
    take_by_code(owner, "O00-0000")
    expect(owner.locator("[data-stage]")).to_contain_text("No tag carries O")
    expect(owner.locator("#code")).to_have_value("O00-0000")
    expect(owner.locator("[data-outbox]")).to_be_hidden()
    assert items(garage) == before


def test_a_refused_photo_stays_on_the_phone_with_its_reason_until_it_is_thrown_away(
    owner: Page, garage: Garage
) -> None:
    owner.goto(garage.at("/b/1/take-off"))
    text: FilePayload = {"name": "x.jpg", "mimeType": "image/jpeg", "buffer": b"not a photo"}
    owner.locator("[data-photos]").last.set_input_files([text])
    expect(owner.locator("[data-landed]")).to_contain_text("Not taken: This file is not a photo")
    expect(owner.locator("[data-outbox]")).to_have_text("1 refused")

    owner.goto(garage.at("/outbox"))
    expect(owner.locator("[data-waiting] li")).to_contain_text("This file is not a photo")
    owner.get_by_role("button", name="Throw away").tap()
    expect(owner.get_by_text("Nothing waits: everything has landed.")).to_be_visible()


def test_a_double_tap_takes_one_rung(owner: Page, garage: Garage, codes: list[str]) -> None:
    code = codes.pop()
    owner.clock.install()
    owner.goto(garage.at("/b/1/take-off"))
    take_by_code(owner, code, kind="Connection")
    expect_landed(owner, 1)
    owner.goto(garage.at(f"/T/{code}"))
    button = owner.locator("[data-next]")
    # The clock stands still: a slow machine must not make two taps out of a double one.
    owner.clock.pause_at(datetime.now(UTC) + timedelta(hours=1))
    button.dispatch_event("click")
    button.dispatch_event("click")
    expect(owner.locator("[data-said]")).to_have_text("Written down")
    button.dispatch_event("click")
    expect(button).to_have_text("Next: latched")

    marks = "SELECT count(*) FROM journal JOIN tag USING (subject) WHERE code = ? AND verb = 'mark'"
    assert stored(garage, marks, code) == 1


def test_an_onlooker_sees_no_act_and_their_entry_is_refused(
    owner: Page, open_phone: OpenPhone, garage: Garage, codes: list[str]
) -> None:
    code = codes.pop()
    onlooker = open_phone()
    pair(onlooker, pairing_address(owner, garage, "Onlooker"), name="Pia")
    onlooker.goto(garage.at("/b/1/put-back"))
    expect(onlooker.locator("[data-row]").first).to_be_visible()
    expect(onlooker.locator("[data-next]")).to_have_count(0)

    with closing(read_only(garage.folder / DATABASE_FILE)) as database:
        (build,) = database.execute("SELECT id FROM build").fetchone()
    status = send(onlooker, build, code)

    assert status == 403
    assert lines_of_tag(garage, code) == (0, 0)


def send(page: Page, build: str, code: str) -> int:
    """Send an entry as the open page would, and return the answer's status."""
    found: int = page.evaluate(
        """async ([build, code]) => {
          const meta = (name) => document.querySelector(`meta[name="${name}"]`).content;
          const { newId } = await import(document.querySelector('script[src$="/outbox.js"]').src);
          const form = new FormData();
          form.append('entry', JSON.stringify({ id: newId(), item: newId(), type: 'capture',
            folder: meta('folder-id'), build, code, kind: 'part' }));
          const headers = { 'X-CSRFToken': meta('csrf-token') };
          return (await fetch('/lines', { method: 'POST', body: form, headers })).status;
        }""",
        [build, code],
    )
    return found


def test_a_phone_that_was_shut_out_reads_nothing_and_its_entry_is_put_aside(
    owner: Page, open_phone: OpenPhone, garage: Garage, codes: list[str]
) -> None:
    code = codes.pop()
    helper = open_phone()
    pair(helper, pairing_address(owner, garage, "Helper"), name="Ilse")
    helper.goto(garage.at("/b/1/take-off"))
    owner.goto(garage.at("/b/1/crew"))
    owner.get_by_role("button", name="Shut out Ilse").tap()
    expect(owner.get_by_text("What it still sends is put aside")).to_be_visible()

    take_by_code(helper, code)
    expect(helper.locator("[data-taken] li")).to_contain_text("This phone was shut out")
    expect(helper.locator("[data-outbox]")).to_be_hidden()

    assert lines_of_tag(garage, code) == (0, 0)
    assert stored(garage, "SELECT count(*) FROM quarantine") == 1
    answer = helper.goto(garage.at("/b/1/bay"))
    assert answer
    assert answer.status == 401
    owner.reload()
    expect(owner.get_by_role("heading", name="Put aside, for you to decide")).to_be_visible()
