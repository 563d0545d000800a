"""The start gate in a real browser: 200 things are back, and one of each kind is left undone in turn."""

import re
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.gates.gates import gate_subject
from app.core.items.items import DETAIL, Connection, Detail, End, Fastener, Fluid, Item
from app.core.items.journal import History, Line
from app.core.items.kinds import CRITICAL_TYPES, ITEM_KINDS, Act, Kind, opening_act, rung, rungs
from app.core.items.roles import Role
from app.core.ledger.ledger import needs
from app.store.crew import let_in
from app.store.db.clock import new_id, stamp
from app.store.db.database import read_only
from app.store.db.models import ItemRow, Step, Zone
from app.store.folder import DATABASE_FILE, open_folder
from app.store.gates import gates
from app.store.journal import append, lines_of
from app.store.plan.builds import Writer, new_build
from app.store.plan.items import add_item, first_line
from app.store.tags import give, print_sheet
from tests.browser.conftest import PHONE
from tests.browser.garage import Garage, OpenPhone, be_patient, begin, garage_in
from tests.swaps import NO_ENGINE

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
COUNT = 200
SORTS = (
    "electrical connector",
    "vacuum line",
    "coolant hose",
    "air duct",
    "control cable",
    *sorted(CRITICAL_TYPES),
)


@dataclass(frozen=True)
class Undone:
    """A thing to leave undone: its subject, its name, its zone and the act that opens its line."""

    subject: str
    name: str
    zone: str
    act: str


@dataclass(frozen=True)
class Whole:
    """A served build in which everything is back, and one thing of each kind and sort."""

    garage: Garage
    build: str
    undone: tuple[Undone, ...]


def detail(kind: Kind, nth: int) -> Detail:
    given: dict[Kind, Detail] = {
        Kind.CONNECTION: Connection(type=SORTS[nth % len(SORTS)]),
        Kind.FASTENER: Fastener(thread="M8x1.25x30", torque="25 N·m", one_time="no"),
        Kind.FLUID: Fluid(system="washer", bleeds=True),
    }
    return given.get(kind) or DETAIL[kind]()


class Crew:
    """Ada, who works, and Ben, who looks."""

    def __init__(self, session: Session, build: str, ada: Writer, ben: Writer) -> None:
        self.session, self.build, self.ada, self.ben = session, build, ada, ben

    def say(self, subject: str, verb: str, body: dict[str, Any], *, look: bool = False) -> None:
        who = self.ben if look else self.ada
        after = frozenset(History(lines_of(self.session, subject)).tips())
        line = Line(new_id(), subject, verb, body, after, who.person, who.device)
        append(self.session, line, build_id=self.build, now=stamp(NOW))

    def close(self, item: Item) -> None:
        """Go up an item's ladder to its last rung."""
        subject = f"step:{item.id}" if item.kind is Kind.STEP else f"item:{item.id}"
        for act in rungs(item.kind, bleeds=item.bleeds):
            above = rung(item.kind, act) > 0 or item.kind is Kind.STEP
            if above and rung(item.kind, act) <= rung(item.kind, needs(item)):
                self.say(subject, "mark", {"act": act.value}, look=act is Act.CHECKED)


def furnish(folder: Path) -> tuple[str, tuple[Undone, ...]]:
    """Make the build in the data folder, everything back and the gate passed."""
    opened = open_folder(folder, now=NOW)
    with opened.database.unit_of_work() as session:
        writers = [
            Writer(device.person_id, device.id)
            for device in (
                let_in(session, name=name, label="phone", role="owner", now=NOW)[0] for name in ("Ada", "Ben")
            )
        ]
        build = new_build(
            session,
            title="Two hundred things",
            vehicle="none",
            layout_key="transverse",
            units="N·m",
            dialect="us",
            writer=writers[0],
            now=stamp(NOW),
            swap=NO_ENGINE,
        )
        turn = writers[0].line(f"build:{build.id}", "turn", {"units": ["vehicle"], "to": "together"})
        append(session, turn, build_id=build.id, now=stamp(NOW))
        crew = Crew(session, build.id, *writers)
        zones = list(session.scalars(select(Zone).order_by(Zone.position)))
        made = [_thing(crew, nth, zones[nth % len(zones)]) for nth in range(COUNT)]
        steps = [step for step in session.scalars(select(Step)) if step.direction == "on_only"]
        for step in steps:
            crew.close(Item(step.id, 0, Kind.STEP, step.name))
        _pass(crew)
        quiet = next(step for step in steps if step.role == Role.FILL)
        _plugs(crew, zones[0])
        undone = (
            *_one_of_each(made),
            Undone(f"step:{quiet.id}", quiet.name, "Steps on the way back", "undo"),
        )
        found = build.id, undone
    opened.close()
    return found


def _thing(crew: Crew, nth: int, zone: Zone) -> tuple[Item, Zone]:
    kind = ITEM_KINDS[nth % len(ITEM_KINDS)]
    item = Item(
        new_id(), 0, kind, f"Thing {nth:03d}", zone=zone.id, n=1, detail=detail(kind, nth // len(ITEM_KINDS))
    )
    line = first_line(
        item, line_id=new_id(), act=None, person=crew.ada.person, device=crew.ada.device, at=stamp(NOW)
    )
    row: ItemRow = add_item(crew.session, item, line, build_id=crew.build, now=stamp(NOW))
    crew.close(Item(item.id, 0, kind, n=1, critical=row.critical, detail=item.detail))
    return item, zone


def _plugs(crew: Crew, zone: Zone) -> None:
    """Two look-alike plugs that ask for both halves, each with a tag, both back."""
    _, codes = print_sheet(
        crew.session, count=2, grid="a4-40", halves=True, name="garage", port=8765, now=stamp(NOW)
    )
    for n, code in enumerate(codes, 1):
        ends = (End("A", "harness", "part"), End("B", f"injector {n}", "old engine"))
        plug = Connection(type="electrical connector", ends=ends, both_halves=True, look_alike="injectors")
        item = Item(new_id(), 0, Kind.CONNECTION, f"Injector plug {n}", zone=zone.id, detail=plug)
        first = first_line(
            item, line_id=new_id(), act=None, person=crew.ada.person, device=crew.ada.device, at=stamp(NOW)
        )
        add_item(crew.session, item, first, build_id=crew.build, now=stamp(NOW))
        line = crew.ada.line(f"tag:{code}", "give", {"to": f"item:{item.id}"})
        give(crew.session, code, f"item:{item.id}", line, build_id=crew.build, now=stamp(NOW))
        crew.say(f"item:{item.id}", "mark", {"act": "latched", "via": f"{code}/B"})
        crew.say(f"item:{item.id}", "mark", {"act": "routed"})


def _one_of_each(made: list[tuple[Item, Zone]]) -> Iterator[Undone]:
    """Give one item of each kind, and of each sort of connection."""
    seen = set()
    for item, zone in made:
        if (item.kind, item.type) not in seen:
            seen.add((item.kind, item.type))
            yield Undone(
                f"item:{item.id}", item.name, f"{zone.label} ({zone.level})", opening_act(item.kind).value
            )


def _pass(crew: Crew) -> None:
    gate = next(each for each in gates() if each.key == "start")
    subject = gate_subject(crew.build, "start")
    for question in gate.questions:
        crew.say(subject, "answer", {"gate": "start", "question": question.key, "value": "yes"})
    crew.say(subject, "pass", {"gate": "start", "open": []})


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Whole]:
    folder = tmp_path_factory.mktemp("whole") / "data"
    build, undone = furnish(folder)
    with garage_in(folder) as served:
        yield Whole(served, build, undone)


@pytest.fixture(scope="module")
def state(browser: Browser, whole: Whole) -> Any:
    with browser.new_context(**PHONE) as context:
        be_patient(context)
        begin(context.new_page(), whole.garage, name="Ada")
        return context.storage_state()


@pytest.fixture
def phone(open_phone: OpenPhone, state: Any) -> Page:
    return open_phone(storage_state=state)


SEND = """async ({ id, subject, build, verb, body, after }) => {
  const form = new FormData();
  const folder = document.querySelector('meta[name="folder-id"]').content;
  form.append('entry', JSON.stringify({ id, type: 'line', folder, build, subject, verb, body, after }));
  const headers = { 'X-CSRFToken': document.querySelector('meta[name="csrf-token"]').content };
  return (await fetch('/lines', { method: 'POST', body: form, headers })).status;
}"""


def send(page: Page, whole: Whole, subject: str, verb: str, body: dict[str, Any], after: list[str]) -> str:
    """Send a line as the page's own outbox does, and return its id."""
    line = new_id()
    sent = {"id": line, "subject": subject, "build": whole.build, "verb": verb, "body": body, "after": after}
    assert page.evaluate(SEND, sent) == 200
    return line


def seen(page: Page, subject: str) -> list[str]:
    """Return what a phone that has the card open would name as seen."""
    path = f"/i/{subject.partition(':')[2]}"
    card: str = page.evaluate("async (path) => (await fetch(path)).text()", path)
    return re.findall(r'name="after" value="([0-9a-f]{32})"', card.partition("</form>")[0])


def test_the_gate_is_red_and_names_by_zone_whatever_one_thing_of_two_hundred_is_left_undone(
    phone: Page, whole: Whole
) -> None:
    address = whole.garage.at("/b/1/gates/start")
    phone.goto(address)
    expect(phone.locator(".gate-state b")).to_have_text("Passed")
    assert len(whole.undone) == len(ITEM_KINDS) - 1 + len(SORTS) + 1

    for left in whole.undone:
        after = seen(phone, left.subject)
        body = {"line": after[0]} if left.act == "undo" else {"act": left.act}
        verb = "undo" if left.act == "undo" else "mark"
        line = send(phone, whole, left.subject, verb, body, after)
        phone.goto(address)
        expect(phone.locator(".gate-state b")).to_have_text("1 open since it was passed")
        zone = phone.locator(
            "section.group", has=phone.get_by_role("heading", name=re.compile(re.escape(left.zone)))
        )
        expect(zone.get_by_role("link", name=re.compile(re.escape(left.name)))).to_have_count(1)
        send(phone, whole, left.subject, "undo", {"line": line}, [line])

    phone.goto(address)
    expect(phone.locator(".gate-state b")).to_have_text("Passed")


def test_a_question_is_answered_with_one_tap_and_while_the_laptop_is_out_of_reach_it_is_kept(
    phone: Page, whole: Whole
) -> None:
    phone.goto(whole.garage.at("/b/1/gates/mating"))
    phone.locator("#dowels").get_by_role("button").tap()
    expect(phone.locator("#dowels")).to_contain_text("Yes: Ada")
    phone.context.set_offline(True)
    phone.locator("#pilot").get_by_role("button", name="Yes").tap()
    expect(phone.locator("#pilot")).to_contain_text("Kept on this phone")
    phone.context.set_offline(False)
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.locator("#pilot")).to_contain_text("Yes: Ada")


def test_a_load_above_the_plate_is_refused_on_the_page_left_open(phone: Page, whole: Whole) -> None:
    phone.goto(whole.garage.at("/b/1/gates/lift"))
    weight = phone.locator("#weight")
    weight.get_by_label("What hangs").fill("310")
    weight.get_by_label("The plate says").fill("250")
    weight.get_by_role("button").tap()
    expect(weight).to_contain_text("310 kg is more than the plate’s 250 kg")
    weight.get_by_label("What hangs").fill("210")
    weight.get_by_role("button").tap()
    expect(weight).to_contain_text("210 kg of 250: Ada")


def test_stopped_here_is_one_tap_and_stands_first_for_who_comes_back(phone: Page, whole: Whole) -> None:
    phone.goto(whole.garage.at("/b/1/put-back"))
    phone.get_by_role("button", name="Stopped here").tap()
    expect(phone.locator(".stop [data-told]")).to_have_text("Written down")
    phone.goto(whole.garage.at("/b/1/coming-back"))
    expect(phone.locator(".stopped")).to_contain_text("Ada stopped here")
    expect(
        phone.locator(".group", has=phone.get_by_role("heading", name="Done last")).get_by_role("listitem")
    ).to_have_count(3)


def test_a_wrong_partner_is_refused_on_the_card_and_the_right_one_closes_it(
    phone: Page, whole: Whole
) -> None:
    with closing(read_only(whole.garage.folder / DATABASE_FILE)) as database:
        (one, own), (_, other) = database.execute(
            "SELECT item.id, tag.code FROM item JOIN tag ON tag.subject = 'item:' || item.id ORDER BY number"
        ).fetchall()
    phone.goto(whole.garage.at(f"/i/{one}"))
    send(phone, whole, f"item:{one}", "mark", {"act": "off"}, seen(phone, f"item:{one}"))
    send(phone, whole, f"item:{one}", "mark", {"act": "seated"}, seen(phone, f"item:{one}"))
    phone.goto(whole.garage.at(f"/i/{one}?half=A"))
    code, said = phone.get_by_label("Code on the other half"), phone.locator("[data-said]")
    button = phone.locator("[data-next]")
    button.tap()
    expect(said).to_have_text("Scan or type the code on the other half.")
    code.fill(f"{other} B")
    phone.wait_for_timeout(700)  # two taps one after the other count as one
    button.tap()
    expect(said).to_contain_text("That is half B of #202 Injector plug 2; this is #201 Injector plug 1")
    expect(button).to_have_text("Next: latched")
    code.fill(f"{own} B")
    phone.wait_for_timeout(700)
    button.tap()
    expect(said).to_have_text("Written down")
    expect(button).to_have_text("Next: routed")
    phone.wait_for_timeout(700)
    button.tap()
    expect(phone.locator(".dock")).to_contain_text("Closed. Nothing is left to do here.")
