"""An item's form: its fields, filled from the item, checked, and read as an item again."""

import dataclasses

from flask import request
from wtforms import (
    BooleanField,
    DecimalField,
    HiddenField,
    IntegerField,
    SelectField,
    StringField,
    TextAreaField,
)
from wtforms.validators import Length, NumberRange, Optional

from app.core.builds.snapshot import Entry, Snapshot
from app.core.items.items import OWNERS, End, Fastener, Fluid, Item, read_detail
from app.core.items.kinds import ITEM_KINDS, Kind
from app.core.items.numbers import items_of
from app.core.problem import Problem
from app.core.threads.positions import read_holes, read_lengths
from app.core.threads.preload import Friction
from app.core.threads.text import parse_thread
from app.core.tightening.patterns import drawing_of
from app.core.tightening.sequence import Pattern
from app.core.torque.bolt import Joint
from app.core.torque.text import parse_torque
from app.core.wording.destinies import DESTINY_TEXT
from app.core.wording.items import KIND_WORDS
from app.web.site.form import Form, choices, read_number
from app.web.site.wording import in_dialect

FORM_RELATIONS = ("holds", "joins", "covers", "seals", "closes", "found_on")
FRICTIONS = [("", "not known"), *((f.value, f.value) for f in Friction if f is not Friction.UNKNOWN)]
JOINTS = [("", "steel or iron, or not known"), *((j.value, j.value) for j in Joint if j is not Joint.STEEL)]
PATTERNS = [("", "not said"), *((p.value, p.value) for p in Pattern)]
PASSES = [("1", "one, or as printed"), ("2", "two"), ("3", "three"), ("4", "four")]
ONE_TIME = [("unknown", "not known"), ("no", "may be used again"), ("yes", "once only: a new one")]


class ItemForm(Form):
    """An item's words. Which of the fields are shown depends on its kind."""

    kind = SelectField("Kind", choices=choices((kind.value, KIND_WORDS[kind]) for kind in ITEM_KINDS))
    name = StringField("Name", [Length(max=120)])
    zone = SelectField("Zone", choices=[])
    step = SelectField("Step", choices=[])
    owner = SelectField("Whose it is", choices=choices((owner, owner or "not said") for owner in OWNERS))
    critical = BooleanField("A second person looks at it")
    n = IntegerField("How many", [Optional(), NumberRange(1, 999, "A count from 1 to 999.")])
    type = StringField("Type", [Length(max=60)])
    lock = StringField("Lock", [Length(max=60)])
    both_halves = BooleanField("It closes only when the codes on both halves were read")
    thread = StringField("Thread and length", [Length(max=60)])
    strength = StringField("Class or grade", [Length(max=20)])
    head = StringField("Head and drive", [Length(max=60)])
    washers = StringField("Washers, in order", [Length(max=80)])
    threadlock = StringField("Lock or sealant", [Length(max=80)])
    one_time = SelectField("Used once only", choices=choices(ONE_TIME), default="unknown")
    torque = StringField("Torque as printed, with its unit", [Length(max=500)])
    torque_source = StringField("Where the torque stands", [Length(max=120)])
    torque_print = StringField("The whole print, of which that is one value", [Length(max=500)])
    torque_note = StringField("Under which conditions it holds", [Length(max=120)])
    no_figure = BooleanField("Looked for a torque, found none")
    friction = SelectField("On the thread", [Optional()], choices=choices(FRICTIONS))
    joint = SelectField("What it goes into", [Optional()], choices=choices(JOINTS))
    passes = SelectField("Passes to the figure", choices=choices(PASSES), default="1")
    pattern = SelectField("How the bolts lie", [Optional()], choices=choices(PATTERNS))
    rows = IntegerField("Rows of the rectangle", [Optional(), NumberRange(0, 20, "0 to 20 rows.")])
    own_order = StringField("Order as the manual prints it", [Length(max=400)])
    places_mm = StringField("Where the holes are, mm", [Length(max=2000)])
    lengths = StringField("Lengths by hole, where they differ", [Length(max=400)])
    holes = StringField("Blind or wet holes", [Length(max=200)])
    retorque = StringField("Tighten again after the first start", [Length(max=40)])
    look_alike = StringField("Looks like (a word for the look-alikes)", [Length(max=40)])
    condition = StringField("Condition", [Length(max=60)])
    weight_kg = DecimalField("Weight, kg", [Optional(), NumberRange(0, 2000, "0 to 2000 kg.")])
    system = StringField("System", [Length(max=60)])
    spec = StringField("Specification", [Length(max=80)])
    capacity_l = DecimalField("Refill, litres", [Optional(), NumberRange(0, 200, "0 to 200 litres.")])
    dry_l = DecimalField("Filled from empty, litres", [Optional(), NumberRange(0, 200, "0 to 200 litres.")])
    bleeds = BooleanField("The system is bled after filling")
    what = StringField("What was found", [Length(max=200)])
    blocks = BooleanField("It must be decided before the rest goes on")
    decision = StringField("What was decided", [Length(max=200)])
    destiny = SelectField("What becomes of it", [Optional()], choices=choices(DESTINY_TEXT.items()))
    place = StringField("Shelf place", [Length(max=60)])
    holds = StringField("Holds (item numbers)", [Length(max=120)])
    joins = StringField("Joins (item numbers)", [Length(max=120)])
    covers = StringField("Covers (item numbers)", [Length(max=120)])
    seals = StringField("Seals (item numbers)", [Length(max=120)])
    closes = StringField("Closes (item numbers)", [Length(max=120)])
    found_on = StringField("Found on (item numbers)", [Length(max=120)])
    note = TextAreaField("Note", [Length(max=2000)])
    rev = HiddenField()


def filled_form(build: Snapshot, entry: Entry) -> ItemForm:
    """Return the form with an item's words in it."""
    item = entry.item
    values = {f.name: getattr(item.detail, f.name) for f in dataclasses.fields(item.detail)} | {
        "kind": item.kind.value,
        "name": item.name,
        "zone": item.zone,
        "step": item.step,
        "owner": item.owner,
        "critical": item.critical,
        "n": item.n,
        "note": item.note,
        "system": item.detail.system if isinstance(item.detail, Fluid) else item.system,
        "rev": entry.rev,
        "destiny": entry.state.destiny.value or "undecided",
        "place": next(iter(build.place_path(entry.state.place.value)), ""),
        **{rel: _numbers(build, item.id, rel) for rel in FORM_RELATIONS},
    }
    return with_choices(ItemForm(formdata=None, data=values), build)


def _numbers(build: Snapshot, item_id: str, rel: str) -> str:
    targets = [build.entries[e.to].item.number for e in build.edges if e.frm == item_id and e.rel == rel]
    return " ".join(f"#{n}" for n in sorted(targets))


def with_choices(form: ItemForm, build: Snapshot) -> ItemForm:
    """Return the form with the build's zones and steps to choose from."""
    form.zone.choices = choices([("", "not yet"), *((z.id, f"{z.label} ({z.level})") for z in build.zones)])
    form.step.choices = choices([("", "not yet"), *((s.id, in_dialect(s.name)) for s in build.steps)])
    if "seal" in request.form and "threadlock" not in request.form:
        form.threadlock.data = request.form["seal"]  # from a page that was open during an upgrade
    form.destiny.validate_choice = "destiny" in request.form  # only a part's page asks for it
    return form


def wrong_fields(form: ItemForm) -> list[Problem]:
    """Return what the fields themselves refuse, one problem a field."""
    return [Problem("field", str(f.errors[0]), f.name) for f in form if f.errors]


def check_words(form: ItemForm, kind: Kind) -> list[Problem]:
    """Return what is wrong with thread and torque; the form keeps what was typed."""
    found = []
    if kind is Kind.FASTENER and form.thread.data:
        read = parse_thread(form.thread.data)
        found += [Problem(read.code, read.message, "thread")] if isinstance(read, Problem) else []
    if kind is Kind.FASTENER and form.torque.data:
        torque = parse_torque(form.torque.data)
        found += [Problem(torque.code, torque.message, "torque")] if isinstance(torque, Problem) else []
    if kind is Kind.FASTENER:
        found += _check_holes(form)
    for problem in found:
        form[problem.where].errors = (*form[problem.where].errors, problem.message)
    return found


def _check_holes(form: ItemForm) -> list[Problem]:
    """Return what is wrong with lengths, blind holes and the drawing of a group."""
    bolts = form.n.data or 0
    group = Fastener(
        rows=form.rows.data or 0,
        pattern=form.pattern.data or "",
        own_order=form.own_order.data or "",
        places_mm=form.places_mm.data or "",
    )
    answers: list[object] = [
        read_lengths(form.lengths.data or "", bolts),
        read_holes(form.holes.data or "", bolts),
        drawing_of(group, bolts),
    ]
    if group.pattern and not bolts:
        answers.append(Problem("n", "Count the bolts first: the drawing needs their number.", "n"))
    return [answer for answer in answers if isinstance(answer, Problem)]


def targets_of(build: Snapshot, typed: str | None) -> set[str] | Problem:
    """Return the ids behind typed item numbers, or what is wrong with them."""
    items = items_of(typed or "", (e.item for e in build.items))
    return items if isinstance(items, Problem) else {item.id for item in items}


def check_numbers(build: Snapshot, form: ItemForm, own: str) -> list[Problem]:
    """Return what is wrong with typed item numbers: the item itself, or none that there is."""
    found = []
    for rel in FORM_RELATIONS:
        targets = targets_of(build, form[rel].data)
        if isinstance(targets, Problem):
            problem = dataclasses.replace(targets, where=rel)
        elif own in targets:
            problem = Problem(
                "itself", "An item cannot hold, join, cover, seal or close itself: type other numbers.", rel
            )
        else:
            continue
        form[rel].errors = (*form[rel].errors, problem.message)
        found.append(problem)
    return found


def typed_ends() -> list[End]:
    """Return the ends as typed, A first; one whose owner is not known has none."""
    labels, owners = request.form.getlist("end_label"), request.form.getlist("end_owner")
    pairs = zip("ABCD", labels, owners, strict=False)
    return [End(half, label.strip()[:80], owner if owner in OWNERS else "") for half, label, owner in pairs]


def typed_item(entry: Entry, form: ItemForm, kind: Kind) -> Item:
    """Return the item as the form says it."""
    values = {key: value for key, value in form.data.items() if value is not None}
    values = {k: v.strip() if isinstance(v, str) else v for k, v in values.items()}
    values |= {key: float(values[key]) for key in ("weight_kg", "capacity_l", "dry_l") if key in values}
    values["passes"] = read_number(values.get("passes", "1")) or 1
    if kind is Kind.CONNECTION:
        given = [end for end in typed_ends() if end.label or end.owner]
        values["ends"] = [
            dataclasses.asdict(end) for end in (given if len(given) > 1 else [End("A"), End("B")])
        ]
    return Item(
        entry.item.id,
        entry.item.number,
        kind,
        values.get("name", ""),
        values.get("step", ""),
        values.get("zone", ""),
        values.get("n"),
        bool(values.get("critical")),
        values.get("owner", ""),
        values.get("note", ""),
        read_detail(kind, values),
        system=entry.item.system if kind is Kind.FLUID else values.get("system", entry.item.system),
        listed_as=entry.item.listed_as,
    )
