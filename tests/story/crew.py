"""A crew of three phones that does what the pages offer, and asks the mechanic before each act."""

import json
import re
import sqlite3
from collections.abc import Iterator
from operator import itemgetter
from statistics import fmean
from typing import Any, NamedTuple

from jinja2 import BytecodeCache

from app.core.builds.order_lines import order_lines
from app.core.builds.readiness import can_do_now
from app.core.builds.snapshot import Snapshot
from app.core.builds.work import jobs_of
from app.core.gates.gates import STAYS_OFF
from app.core.order.ready import Here
from app.core.plan.heights import fewest_changes
from app.store.folder import DATABASE_FILE, open_folder
from app.store.gates import gate_states
from app.web.factory import create_app
from tests.story.builds import Furnished
from tests.story.mechanic import DONE, LOOKED, STARTED, Event, Mark, Mechanic
from tests.story.phones import Entry, Form, Page, Phone
from tests.web.conftest import NOW, NUMBER, START_KEY

ENGINE_PAGE = "/b/1/engine"
HEIGHTS = ("stands", "wheels", "bench")
MOST_HOPS = 8
"""More cards than any chain of what must come first leads through."""
MOST_ACTS = 600
NEWTON_METRES = {"N·m": 1.0, "lb·ft": 1.3558, "lb·in": 0.11298, "kgf·m": 9.80665, "kgf·cm": 0.0980665}
BESIDE_MARKS = frozenset({"explain", "dispose", "count"})
"""What is said of a thing and tells nothing of how far it is."""
_NUMBERS = {"body.value.measured": "20", "body.value.low": "10", "body.value.high": "30"}


class Said(NamedTuple):
    """A line of the journal."""

    seq: int
    id: str
    subject: str
    verb: str
    body: Any
    person: str
    after: list[str]


class Crew:
    """Three phones, one served folder, one mechanic who hears what lands in the journal."""

    def __init__(self, furnished: Furnished, route: str, templates: BytecodeCache) -> None:
        self.folder = open_folder(furnished.path, now=NOW)
        self.app = create_app(
            self.folder, port=8765, start_key=START_KEY, addresses=lambda: (NUMBER,), demo=False
        )
        self.app.jinja_env.bytecode_cache = templates
        self.database = sqlite3.connect(self.folder.path / DATABASE_FILE)
        people: dict[str, str] = dict(self.rows("SELECT name, id FROM person"))
        self.phones = [
            Phone(self.app, self.folder, key, person=people[name]) for name, key in furnished.keys.items()
        ]
        self.owner, self.helper, self.other = self.phones
        self.roles: dict[str, str] = dict(self.rows("SELECT id, role FROM step"))
        self.ids = furnished.ids
        self.keys = {item: key for key, item in furnished.ids.items()}
        self.mechanic = Mechanic(route, furnished.things, furnished.another)
        self.lines: list[Said] = []
        self.green: set[str] = set()
        self.looks = 0
        self.sample = 1

    def close(self) -> None:
        self.database.close()
        self.folder.close()

    def rows(self, query: str, *values: object) -> list[tuple[Any, ...]]:
        return self.database.execute(query, values).fetchall()

    def build(self) -> Snapshot:
        with self.folder.database.reading() as session:
            found: Snapshot = self.app.extensions["putback"].snapshots.of(session, 1)
        return found

    # What the mechanic hears

    def listen(self) -> None:
        """Let the mechanic hear the whole journal again, if something came."""
        columns = ", ".join(f'"{name}"' for name in Said._fields)
        heard = self.lines[-1].seq if self.lines else 0
        rows = self.rows(f"SELECT {columns} FROM journal WHERE seq > ? ORDER BY seq", heard)  # noqa: S608
        if not rows:
            return
        for seq, line_id, subject, verb, body, person, after in rows:
            self.lines.append(Said(seq, line_id, subject, verb, json.loads(body), person, json.loads(after)))
        void = {line.body["line"] for line in self.lines if line.verb == "undo"}
        for line in self.lines:
            void |= set(line.body["of"]) - {line.body["holds"]} if line.verb == "choose" else set()
        self.mechanic.forget()
        unsaid = {line.id for line in self.lines if line.id in void or not self._tells(line)}
        beside = {line.id for line in self.lines if line.verb in BESIDE_MARKS}
        seen: dict[str, frozenset[str]] = {}
        for line in self.lines:
            before = (seen.get(each, frozenset()) for each in line.after)
            seen[line.id] = frozenset(line.after).union(*before)
            if line.id not in unsaid:
                self._hear(line, seen[line.id] - unsaid - beside)

    @staticmethod
    def _tells(line: Said) -> bool:
        """Tell whether a line says something of how a thing or a unit stands."""
        if line.subject.startswith("build:"):
            return line.verb not in {"add", "edit", "turn", "choose", "undo"}
        if line.subject.startswith("item:") and line.verb in BESIDE_MARKS:
            return True
        return bool(line.body.get("act")) or line.subject.startswith("gate:")

    def _hear(self, line: Said, seen: frozenset[str]) -> None:
        noun, _, of = line.subject.partition(":")
        if line.verb == "explain":
            self.mechanic.confirmed.add(self.keys[of])
        elif line.verb == "dispose":
            is_back = line.body.get("destiny") not in {"left_out", "stays_on_old", "replaced"}
            (self.mechanic.staying.discard if is_back else self.mechanic.staying.add)(self.keys[of])
        elif line.verb == "count":
            pieces = line.body.get("pos") or range(1, (self.mechanic.things[self.keys[of]].n or 1) + 1)
            counted = dict.fromkeys(pieces, line.body.get("piece", ""))
            self.mechanic.pieces.setdefault(self.keys[of], {}).update(counted)
        elif noun == "item":
            thing = self.mechanic.things[self.keys[of]]
            level, pos = thing.level(line.body["act"]), frozenset(line.body.get("pos", ()))
            mark = Mark(line.id, level, line.person, seen, pos)
            self.mechanic.marks.setdefault(thing.key, []).append(mark)
        elif noun == "step":
            self.mechanic.steps.add(of)
        elif noun == "build":
            verb = "already_out" if line.body.get("before_record") else line.verb
            self.mechanic.events.append(Event(line.id, verb, seen, bool(line.body.get("trial"))))
        elif str(line.body.get("question", "")).startswith("clear:"):
            self.mechanic.clear.add(self.keys[line.body["question"].partition(":")[2]])

    # What must hold at every stage

    def look(self) -> Snapshot:
        """Hold that no gate is open to its act, and nothing is offered, while the mechanic says no.

        Of `sample` looks one is taken.
        """
        self.listen()
        self.looks += 1
        build = self.build()
        if self.looks % self.sample:
            return build
        for gate, word in self.gates(build).items():
            red = () if self.mechanic.is_behind(gate) else self.mechanic.red(gate)
            assert word == "open" or not red, (gate, word, red)
            self.green |= {gate} if word == "green" else set()
        for item in can_do_now(build, Here(people=3)).ready:
            assert not (why := self.why_not(item)), ("now", self.called(item), why)
        first = next(((item, act) for item, act, is_free in self.undone(build) if is_free), None)
        if first:
            assert not (why := self.why_not(*first)), ("order", self.called(first[0]), first[1], why)
        return build

    def look_at_plan(self) -> None:
        """Hold that the plan of the way back, either way it can be asked for, has nothing too early."""
        build = self.look()
        for keep in (True, False):
            works = {work.job.id: work for work in jobs_of(build, keep=keep) if work.open}
            plan = fewest_changes([work.job for work in works.values()], start="")
            lines = [line for run in plan.runs for job in run.jobs for line in works[job].lines]
            at = {self.keys[line]: nth for nth, line in enumerate(lines) if line in self.keys}
            pairs = [(a, b) for a, b in self.mechanic.pairs() if self._are_ahead(a, b, at)]
            assert [(a, b) for a, b in pairs if at[a] > at[b]] == []

    def _are_ahead(self, first: str, then: str, at: dict[str, int]) -> bool:
        started = self.mechanic.is_started(first) or self.mechanic.is_started(then)
        return first in at and then in at and not started

    def gates(self, build: Snapshot) -> dict[str, str]:
        """Return of each gate `open`, `ready` (nothing open, not yet passed) or `green`."""
        with self.folder.database.reading() as session:
            return {key: state.word for key, state in gate_states(session, build).items()}

    def green_now(self) -> set[str]:
        """Return the gates that are passed with nothing open since."""
        return {key for key, word in self.gates(self.look()).items() if word == "green"}

    def gates_shown(self) -> dict[str, str]:
        """Return the same as the page of all gates shows it."""
        text = self.owner.get("/b/1/gates").text
        row = r'href="/b/1/gates/(\w+)">\s*<span class="row-mark"><span class="gate-sign gate-(\w+)"'
        return dict(re.findall(row, text))

    def ready_shown(self, height: str) -> list[str]:
        """Return what *Now* shows for three people, the vehicle at a height, first to last."""
        text = self.owner.get(f"/b/1/now?people=3&height={height}").text
        part = text[text.index("<h2>Ready") : text.find("</section>", text.index("<h2>Ready"))]
        return re.findall(r'href="/i/([0-9a-f]{32})"', part)

    def undone(self, build: Snapshot) -> Iterator[tuple[str, str, bool]]:
        """Yield the acts of `order --json` that have not been done, in their order.

        That is: the thing or step, its act, and whether its line names nothing that must come first.
        """
        numbers = {str(entry.item.number): entry.item.id for entry in build.items}
        names = {step.name: step.id for step in build.steps}
        said = [line.fields() for line in order_lines(build, as_listed=True)]
        acts = [(act["place"], act["act"], line) for line in said for act in line["acts"]]
        for _, act, line in sorted(acts, key=itemgetter(0)):
            item = names[line["name"]] if line["kind"] == "step" else numbers[line["id"]]
            if not self._is_done(item, act):
                yield item, act, not (line["blocked_by"] or line.get("milestones"))

    def _is_done(self, item: str, act: str) -> bool:
        if item not in self.keys:
            return item in self.mechanic.steps
        key, mechanic = self.keys[item], self.mechanic
        done = {STARTED: mechanic.is_started, DONE: mechanic.is_done, LOOKED: mechanic.is_closed}
        return done[mechanic.things[key].level(act)](key)

    def why_not(self, item: str, act: str = "", person: str = "") -> str:
        """Return why the mechanic would not have this done now; without an act, the next one of the thing."""
        if item not in self.keys:
            return self.mechanic.step_why_not(self.roles[item])
        key = self.keys[item]
        level = self.mechanic.things[key].level(act) if act else self.mechanic.next_level(key)
        return self.mechanic.why_not(key, level, person)

    def called(self, item: str) -> str:
        return self.keys.get(item) or f"step {self.roles[item]}"

    # What the crew does

    def doer(self, item: str) -> Phone:
        """Return who does the next act of a thing: for a second look somebody who has no hand in it."""
        key = self.keys.get(item, "")
        if not key or self.mechanic.next_level(key) != LOOKED:
            return self.phones[self.looks % 3]
        doers = self.mechanic.doers(key)
        return next(phone for phone in self.phones if phone.person not in doers)

    def follow(self, item: str) -> str:
        """Go from card to card as the large buttons lead, and do the act that they lead to.

        Returns:
            Where they lead instead, if it is no card.
        """
        for _ in range(MOST_HOPS):
            phone = self.doer(item)
            page = phone.page(f"/i/{item}")
            if self.mechanic.wants_new(self.keys.get(item, "")):
                page = self._renew(phone, item)
            if not page.large:  # the work is done, and not as it is printed
                self.otherwise(self.keys[item], "off")
                return ""
            offer = page.offer
            if offer.form:
                act, who = offer.form.get("act"), offer.form.get("person") or phone.person
                assert not (why := self.why_not(item, act, who)), ("card", self.called(item), act, why)
                reason = "seen" if act == "decided" else offer.form.get("reason")
                phone.submit(offer.form, reached=self._shown(item, offer.form), reason=reason)
                return ""
            if not offer.href.startswith("/i/"):
                return offer.href
            item = offer.href.removeprefix("/i/")
        raise AssertionError(self.called(item))

    def _shown(self, item: str, form: Form) -> str:
        """Return what the wrench showed: the torque as printed, in the unit of the wrench."""
        printed = self.mechanic.things[self.keys[item]].torque if item in self.keys else ""
        numbers = re.findall(r"\d+(?:\.\d+)?", printed)
        if not numbers or not form.get("tool"):
            return "25"
        of_print = next(unit for unit in NEWTON_METRES if unit in printed)
        unit = json.loads(form.get("tool"))[1]
        value = fmean(map(float, numbers)) * NEWTON_METRES[of_print] / NEWTON_METRES[unit]
        return f"{value:.3g}"

    def _renew(self, phone: Phone, item: str) -> Page:
        """Say that new pieces go in, all of them, and return the card as it is then."""
        form = phone.page(f"/i/{item}").form(verb="count", piece="renewed")
        pieces = range(1, (self.mechanic.things[self.keys[item]].n or 1) + 1)
        form.fields += [("pos", str(piece)) for piece in pieces if form.get("has_pos")]
        phone.submit(form)
        self.listen()
        return phone.page(f"/i/{item}")

    def take_off(self, *keys: str) -> None:
        """Mark things off, one phone after the other: by the large button, or as they were found."""
        for nth, key in enumerate(keys):
            phone, off = self.phones[nth % 3], self.mechanic.things[key].off
            if off:
                self.otherwise(key, off)
                continue
            form = phone.page(f"/i/{self.ids[key]}").offer.form
            assert form is not None, key
            phone.submit(form)
            self.look()

    def free(self, key: str) -> None:
        """Take off what is aside, loosened or half on already, or say that it is off."""
        forms = self.owner.page(f"/i/{self.ids[key]}").forms
        if any(form.get("verb") == "settle" for form in forms):
            self.settle(key, "off")
        else:
            self.otherwise(key, "off")

    def otherwise(self, key: str, act: str) -> None:
        """Say how a thing is, whatever its card offers first."""
        forms = self.helper.page(f"/i/{self.ids[key]}").forms
        marks = (f for f in forms if f.get("verb") == "mark" and f.get("act"))
        form = next(f for f in marks if not f.id and not f.get("line_id"))
        self.helper.submit(form, act=act)
        self.look()

    def happen(self) -> str:
        """Go to where the engine is: pass the gate that stands first, and tell what happened.

        Returns:
            What was told; empty where nothing comes next.
        """
        for _ in range(2):
            page = self.owner.page(ENGINE_PAGE)
            if not page.large:
                return ""
            if page.offer.form:
                verb = page.offer.form.get("verb")
                assert not (why := self.mechanic.may_tell(verb)), (verb, why)
                self.phones[self.looks % 3].submit(page.offer.form)
                assert self.gates_shown() == self.gates(self.look())
                return verb
            self.pass_gate(page.offer.href.rpartition("/")[2])
        raise AssertionError("the gate was passed and stands first all the same")

    def pass_gate(self, gate: str) -> None:
        """Answer a gate's questions, do what its page still names, and pass it by name."""
        address = f"/b/1/gates/{gate}"
        for question, form in self._questions(address).items():
            unit = "mm" if question == "converter_depth" else "kg"
            self.helper.submit(form, **_NUMBERS, **{"body.value.unit": unit})
        while still := (passing := self.other.page(address).form(verb="pass")).all("body.open"):
            assert still[0] in self.keys, (gate, still)
            if to := self.follow(still[0]):
                assert to.endswith("/take-off"), (gate, self.called(still[0]), to)
                self.free(self.keys[still[0]])
            self.look()
        self.other.submit(passing)
        assert self.gates(self.look())[gate] == "green", gate
        self.green.add(gate)

    def _questions(self, address: str) -> dict[str, Form]:
        answers = [form for form in self.helper.page(address).forms if form.get("verb") == "answer"]
        asked = {form.body.get("question", STAYS_OFF): form for form in reversed(answers)}
        return {question: form for question, form in asked.items() if question != STAYS_OFF}

    def tell(self, phone: Phone, verb: str, **said: Any) -> None:
        """Tell something else that happened, as the page of where the engine is offers it."""
        forms = phone.page(ENGINE_PAGE).forms
        phone.submit(next(f for f in forms if f.get("verb") == verb and said.items() <= f.body.items()))
        self.look()

    def out_of_reach(self, phone: Phone, key: str, upto: str) -> list[Entry]:
        """Return what a phone keeps that does a thing's acts from now on where nobody hears it."""
        (build,) = self.rows("SELECT id FROM build")[0]
        about = {"folder": self.folder.id, "build": build, "subject": f"item:{self.ids[key]}"}
        page = phone.page(f"/i/{self.ids[key]}")
        return phone.kept(next(form for form in page.forms if form.rungs), about, upto=upto)

    def land(self, phone: Phone, *queues: list[Entry]) -> None:
        """Let what a phone kept arrive."""
        for queue in queues:
            phone.send_all(queue)
        self.look()

    def settle(self, key: str, act: str) -> None:
        """Say how a thing is of which people say different things."""
        self.owner.submit(self.owner.page(f"/i/{self.ids[key]}").form(verb="settle"), act=act, reason="seen")
        self.look()

    def reroute(self, route: str) -> None:
        """Say that the engine comes out, and one goes in, another way."""
        page = self.owner.page("/b/1/route")
        self.owner.submit(next(form for form in page.forms if form.id == "route"), out=route, back=route)

    def explain(self, key: str) -> None:
        """Say by name that what does not fit at a thing is right as it is."""
        form = self.owner.page(f"/i/{self.ids[key]}").form(verb="explain")
        self.owner.submit(form, **{"body.reason": "it was so"})
        self.look()

    def turn(self, unit: str = "vehicle") -> None:
        """Say that the vehicle, or a unit, goes together from here on."""
        self.tell(self.owner, "turn", units=[unit], to="together")

    def buy(self) -> None:
        """Bring home all that is to be got."""
        while forms := [form for form in self.owner.page("/b/1/to-get").forms if "mark" in form.action]:
            forms[0].fields.append(("what", "arrived"))
            self.owner.submit(forms[0])

    def fetch(self) -> None:
        """Bring home what is away or soaking, and decide to fit again what was undecided."""
        while forms := [form for form in self.owner.page("/b/1/away").forms if form.action.endswith("/done")]:
            self.owner.submit(forms[0])
        while forms := [f for f in self.owner.page("/b/1/undecided").forms if f.action.endswith("/answer")]:
            self.owner.submit(forms[0], destiny="refit", reason="it is good")

    # To zero

    def put_back(self, lead: str, *, until: str = "") -> None:
        """Go on until nothing is left, led by `order` (its first act) or by `now` (its first row).

        Args:
            lead: Which.
            until: Or until this was told of the engine.
        """
        for _ in range(MOST_ACTS):
            item = self._first(lead, self.look())
            to = self.follow(item) if item else ENGINE_PAGE
            told = self.happen() if to else "an act"
            if told in {"", until}:
                assert told or not item, (self.called(item), to)
                return
        raise AssertionError("it never ends")

    def _first(self, lead: str, build: Snapshot) -> str:
        if lead == "order":
            return next((item for item, _, _ in self.undone(build)), "")
        heights = [height for height in HEIGHTS if can_do_now(build, Here(3, height)).ready]
        if not heights:  # all waits for a decision, or nothing is left
            return next((entry.item.id for entry in build.undecided), "")
        return self.ready_shown(heights[0])[0]

    def assert_zero(self) -> None:
        """Hold that the ledger is at zero, and nothing that the judge asks is unanswered."""
        build = self.look()
        assert [(entry.item.name, entry.reasons) for entry in build.open] == []
        assert build.findings == ()
        assert [key for key in self.mechanic.things if not self.mechanic.is_closed(key)] == []
