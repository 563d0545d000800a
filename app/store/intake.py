"""What phones send: every entry lands exactly once, a fact is never refused for a rule of the trade."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.fluids import is_amount
from app.core.items import DESTINIES, DETAIL, FATES, Finding, Item
from app.core.journal import VERBS, Line
from app.core.kinds import ITEM_KINDS, Act, Kind, knows
from app.core.positions import read_lengths
from app.core.problem import Problem
from app.core.tags import is_code
from app.store import tags
from app.store.crew import Visitor
from app.store.gates import check_fact
from app.store.items import add_item, first_line, set_edges
from app.store.journal import append
from app.store.models import Build, ItemRow, JournalRow, Person, PhotoRow, Quarantine, Receipt, Shows
from app.store.pairs import wrong_half

PLAN_VERBS = frozenset({"add", "edit", "give", "void", "photo"})
"""Verbs that only the server writes, with the row they are about."""

PIECES = ("", "renewed", "spare", "lost", "tool")

AMOUNT_SIDES = ("drained", "filled")

SETTLED_KEYS = frozenset({"act", "piece", "destiny", "fate", "place", "lengths"})
"""What lines can disagree about: a settling line says one of them."""

SHORT_TEXTS = {"reached": 80, "wrench": 80, "caution": 40, "torque": 500, "lengths": 500, "reason": 500}
"""Texts of a line's body and how long they may be, [characters]."""

SHOWN_SORTS = frozenset({"item", "step", "place", "zone", "build"})
"""What a photo can show."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture already on the disk."""

    sha256: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Sent:
    """One entry of a phone's outbox, as it came.

    Args:
        entry: Its fields; see `read_line` and `Capture`.
        picture: What was photographed, shrunk and stored, or `None`.
        codes: The codes read in the full-size photograph, in reading order.
    """

    entry: Mapping[str, Any]
    picture: Picture | None = None
    codes: tuple[str, ...] = ()

    @property
    def sha(self) -> str:
        """The digest of what was sent: the same id with another body is a mistake of the sender."""
        body = json.dumps([self.entry, self.picture.sha256 if self.picture else ""], sort_keys=True)
        return hashlib.sha256(body.encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Answer:
    """What the phone is told: an HTTP status and a JSON body."""

    status: int
    body: dict[str, Any] = field(default_factory=dict)


def refuse(problem: Problem, status: int = 422) -> Answer:
    """Return the answer to an entry that can never land as it is."""
    return Answer(status, {"problem": problem.message, "code": problem.code, "where": problem.where})


def receipt_by_id(session: Session, entry_id: str) -> Answer | None:
    """Return what was answered to an entry of this id, whatever it said: spares reading its photo again."""
    found = session.get(Receipt, entry_id) if _is_id(entry_id) else None
    return Answer(found.status, dict(found.answer)) if found else None


def receipt_for(session: Session, sent: Sent) -> Answer | None:
    """Return what was answered to this entry before; another body under the same id is told so."""
    found = session.get(Receipt, str(sent.entry.get("id", "")))
    if found is None:
        return None
    if found.body_sha != sent.sha:
        return refuse(Problem("other-body", "Another entry has already come under this number."), 409)
    return Answer(found.status, dict(found.answer))


def receive(session: Session, sent: Sent, visitor: Visitor, *, now: str) -> Answer:
    """Take one entry in; the answer is stored beside it in the same transaction.

    Args:
        session: Of a unit of work.
        sent: The entry.
        visitor: Whose phone it came from; one that was shut out has its entries put aside.
        now: The server's time.
    """
    entry_id = sent.entry.get("id")
    if not _is_id(entry_id):
        return refuse(
            Problem("id", "The entry has no number of its own; reload the page and try again.", "id")
        )
    if not _is_storable(sent.entry):
        return refuse(Problem("text", "The entry holds signs that are no text. Type them again."))
    before = receipt_for(session, sent)
    if before:
        return before
    if visitor.shut:
        answer = _put_aside(session, sent, visitor, now)
    else:
        answer = land(session, sent, visitor, now=now)
    if answer.status < 400:  # noqa: PLR2004 - HTTP: below 400 it landed
        session.add(
            Receipt(
                id=str(entry_id),
                device=visitor.device,
                body_sha=sent.sha,
                status=answer.status,
                answer=answer.body,
            )
        )
    return answer


def land(session: Session, sent: Sent, visitor: Visitor, *, now: str) -> Answer:
    """Write what an entry says, whoever lets it in."""
    if sent.entry.get("sort") == "capture":
        return _receive_capture(session, sent, visitor, now)
    return _receive_line(session, sent.entry, visitor, now)


def _is_id(value: object) -> bool:
    return isinstance(value, str) and len(value) == 32 and set(value) <= set("0123456789abcdef")  # noqa: PLR2004 - 128 bits


def _is_storable(entry: Mapping[str, Any]) -> bool:
    """Tell whether all its text can be stored: JSON can carry halves of characters, a database cannot."""
    try:
        json.dumps(entry, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        return False
    return True


def _put_aside(session: Session, sent: Sent, visitor: Visitor, now: str) -> Answer:
    session.add(
        Quarantine(
            id=str(sent.entry["id"]),
            device=visitor.device,
            body={
                "entry": dict(sent.entry),
                "picture": asdict(sent.picture) if sent.picture else None,
                "codes": list(sent.codes),
            },
            why="shut out",
            at=now,
            decided=None,
        )
    )
    return Answer(202, {"aside": "This phone was shut out; the owner decides about what it still sends."})


def _who(session: Session, entry: Mapping[str, Any], visitor: Visitor) -> str:
    """Return the person an entry names, or the phone's own where it names none that is known."""
    person = str(entry.get("person") or "")
    known = session.scalar(select(Person.id).where(Person.id == person))
    return known or visitor.person


def _build(session: Session, entry: Mapping[str, Any]) -> Build | None:
    return session.get(Build, str(entry.get("build", "")))


NO_BUILD = Problem("build", "This page belongs to a build that is not here. Open the build again.", "build")


def _receive_line(session: Session, entry: Mapping[str, Any], visitor: Visitor, now: str) -> Answer:
    build = _build(session, entry)
    if build is None:
        return refuse(NO_BUILD)
    line = _line(entry, visitor, _who(session, entry, visitor))
    problem = line if isinstance(line, Problem) else check_line(session, line)
    if isinstance(line, Problem) or problem:
        return refuse(problem or NO_BUILD)
    if session.scalars(select(JournalRow.id).where(JournalRow.id == line.id)).first() is None:
        append(session, line, build_id=build.id, now=now)
    return Answer(200, {"line": line.id})


def _line(entry: Mapping[str, Any], visitor: Visitor, person: str) -> Line | Problem:
    """Return the line an entry carries, or what is wrong with its form."""
    body, after = entry.get("body"), entry.get("after", [])
    if not isinstance(body, Mapping) or not isinstance(after, list) or not all(map(_is_id, after)):
        return Problem(
            "form", "The entry is not in the form of this program. Reload the page and mark it again."
        )
    return Line(
        id=str(entry["id"]),
        subject=str(entry.get("subject", "")),
        verb=str(entry.get("verb", "")),
        body=dict(body),
        after=frozenset(after),
        person=person,
        device=visitor.device,
        at=str(entry.get("at", ""))[:40],
    )


def check_line(session: Session, line: Line) -> Problem | None:
    """Return what makes a line unreadable, or `None`. What breaks a rule of the trade is not refused here."""
    if line.verb not in VERBS or line.verb in PLAN_VERBS:
        return Problem("verb", "This program does not know what the entry says. Update the page.", "verb")
    if not _is_subject(line.subject, frozenset({"item", "step", "place", "gate", "build"})):
        return Problem("subject", "The entry does not say what it is about.", "subject")
    return check_fact(line) or wrong_half(session, line) or _check_body(session, line)


def _check_body(session: Session, line: Line) -> Problem | None:
    body = line.body
    sort, _, subject_id = line.subject.partition(":")
    row = session.get(ItemRow, subject_id) if sort == "item" else None
    kind = Kind.STEP if sort == "step" else Kind(row.kind) if row else None
    wrong = [
        (
            "act" in body and not _is_act(body["act"], kind),
            "act",
        ),
        ("pos" in body and not _are_positions(body["pos"]), "pos"),
        ("stage" in body and not _is_count(body["stage"], 0, 99), "stage"),
        ("piece" in body and body["piece"] not in PIECES, "piece"),
        ("destiny" in body and body["destiny"] not in DESTINIES, "destiny"),
        ("fate" in body and body["fate"] not in FATES, "fate"),
        ("place" in body and body["place"] != "" and not _is_id(body["place"]), "place"),
        (line.verb == "mark" and "act" not in body, "act"),
        (line.verb == "settle" and not SETTLED_KEYS & body.keys(), "act"),
        (line.verb == "undo" and not _is_id(body.get("line")), "line"),
        *((key in body and not _is_short(body[key], most), key) for key, most in SHORT_TEXTS.items()),
        (line.verb == "acknowledge" and not {"caution", "torque"} <= body.keys(), "caution"),
        ("lengths" in body and isinstance(read_lengths(str(body["lengths"]), 0), Problem), "lengths"),
        ("litres" in body and not is_amount(body["litres"]), "litres"),
        ("of" in body and body["of"] not in AMOUNT_SIDES, "of"),
        ("amounts" in body and body["amounts"] != "right", "amounts"),
    ]
    field_name = next((name for is_wrong, name in wrong if is_wrong), None)
    if field_name:
        return Problem(
            "body", f"The entry's «{field_name}» cannot be read. Mark it again on a fresh page.", field_name
        )
    return None


def _is_act(value: object, kind: Kind | None) -> bool:
    """Tell whether this is an act, of this kind of thing where the kind is known."""
    return isinstance(value, str) and value in set(Act) and (kind is None or knows(kind, Act(value)))


def _is_short(value: object, most: int) -> bool:
    return isinstance(value, str) and len(value) <= most


def _is_count(value: object, low: int, high: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def _are_positions(value: object) -> bool:
    return isinstance(value, list) and len(value) > 0 and all(_is_count(n, 1, 999) for n in value)


def _is_subject(value: str, sorts: frozenset[str]) -> bool:
    sort, _, subject_id = value.partition(":")
    return sort in sorts and _is_id(subject_id)


@dataclass(frozen=True, slots=True)
class _Capture:
    """A photograph (or a typed code) taken at the engine, and what carries over from the item before."""

    entry_id: str
    build_id: str
    item_id: str
    kind: Kind
    act: Act | None
    step: str
    zone: str
    person: str
    device: str
    at: str
    about: str = ""
    what: str = ""
    blocks: bool = False


def _receive_capture(session: Session, sent: Sent, visitor: Visitor, now: str) -> Answer:
    entry = sent.entry
    build = _build(session, entry)
    if build is None:
        return refuse(NO_BUILD)
    capture = _capture(entry, build.id, visitor, _who(session, entry, visitor))
    if isinstance(capture, Problem):
        return refuse(capture)
    typed, subject = str(entry.get("code") or ""), str(entry.get("subject") or "")
    if typed and not is_code(typed):
        return refuse(Problem("code", "This is no tag's code. Look at the tag again.", "code"))
    if subject and not _is_subject(subject, SHOWN_SORTS):
        return refuse(Problem("subject", "The entry does not say what it is about.", "subject"))
    codes = dict.fromkeys([*([typed] if typed else []), *sent.codes])
    found = _raise_finding(session, capture, now) if capture.about else []
    found += [_behind(session, code, i, capture, now) for i, code in enumerate(codes)]
    shown = [f["subject"] for f in found if f.get("subject")] + ([subject] if subject else [])
    if on := _found_on(session, capture):
        shown.append(f"item:{on.id}")
    if not codes and not sent.picture and not capture.about:
        return refuse(Problem("nothing", "There is neither a photo nor a code in this entry.", "photo"))
    photo = _keep_photo(session, sent.picture, capture, shown, now) if sent.picture else None
    return Answer(200, {"found": found, "photo": photo, "tray": bool(photo and not shown)})


def _capture(entry: Mapping[str, Any], build_id: str, visitor: Visitor, person: str) -> _Capture | Problem:
    kind, act, item_id = entry.get("kind", "connection"), entry.get("act") or None, entry.get("item")
    if kind not in ITEM_KINDS:
        return Problem("kind", "Choose what kind of thing it is.", "kind")
    if act is not None and not _is_act(act, Kind(kind)):
        return Problem("act", "This kind of thing has no such state.", "act")
    if not _is_id(item_id):
        return Problem("item", "The entry has no number for its item; reload the page.", "item")
    about = str(entry.get("about") or "") if kind == Kind.FINDING else ""
    if about and not _is_id(about):
        return Problem("about", "The entry does not say on what it was found; reload the page.", "about")
    return _Capture(
        str(entry["id"]),
        build_id,
        str(item_id),
        Kind(kind),
        Act(act) if act else None,
        str(entry.get("step") or ""),
        str(entry.get("zone") or ""),
        person,
        visitor.device,
        str(entry.get("at", ""))[:40],
        about,
        str(entry.get("what") or "").strip()[:200],
        entry.get("blocks") is True,
    )


def derived_id(*parts: str) -> str:
    """Return an id that follows from others, so that the same entry sent twice makes the same rows."""
    return hashlib.sha256("/".join(parts).encode()).hexdigest()[:32]


def _raise_finding(session: Session, capture: _Capture, now: str) -> list[dict[str, Any]]:
    """Write down that something is wrong with an item: a line of its own, tied to it, tag or no tag.

    Where the item is not here the finding stands alone: what was found is never lost.
    """
    on = _found_on(session, capture)
    name = capture.what[:120] or (f"Something wrong with #{on.number} {on.name}".strip()[:120] if on else "")
    item = Item(
        capture.item_id,
        0,
        Kind.FINDING,
        name,
        (on.step_id if on else capture.step) or "",
        (on.zone_id if on else capture.zone) or "",
        owner=on.owner if on else "vehicle",
        detail=Finding(what=capture.what, blocks=capture.blocks),
    )
    if session.get(ItemRow, item.id) is None:
        first = _first(item, capture)
        told = replace(first, body={**first.body, "found_on": on.id}) if on else first
        add_item(session, item, told, build_id=capture.build_id, now=now)
        set_edges(session, item.id, "found_on", {on.id} if on else set())
    subject = f"item:{item.id}"
    return [{"code": "", "state": "raised", "subject": subject, **_words(session, subject)}]


def _found_on(session: Session, capture: _Capture) -> ItemRow | None:
    """Return the item that a finding is about, where it is one of this build."""
    row = session.get(ItemRow, capture.about) if capture.about else None
    return row if row and row.build_id == capture.build_id else None


def _behind(session: Session, code: str, nth: int, capture: _Capture, now: str) -> dict[str, Any]:
    """Return what stands behind a code; a blank one becomes an item of the kind in hand."""
    tag = tags.look_up(session, code)
    if tag.state == "void":
        return {"code": code, "state": "void"}
    if tag.state == "used":
        return {"code": code, "state": "used", "subject": tag.subject, **_words(session, tag.subject)}
    item_id = capture.item_id if nth == 0 else derived_id(capture.entry_id, code)
    item = Item(item_id, 0, capture.kind, step=capture.step, zone=capture.zone, detail=DETAIL[capture.kind]())
    if session.get(ItemRow, item_id) is None:
        add_item(session, item, _first(item, capture), build_id=capture.build_id, now=now)
    give_line = _line_about(capture, f"tag:{code}", "give", {"to": f"item:{item_id}"})
    tags.give(session, code, f"item:{item_id}", give_line, build_id=capture.build_id, now=now)
    return {"code": code, "state": "new", "subject": f"item:{item_id}", **_words(session, f"item:{item_id}")}


def _first(item: Item, capture: _Capture) -> Line:
    return first_line(
        item,
        line_id=derived_id(capture.entry_id, item.id, "add"),
        act=capture.act,
        person=capture.person,
        device=capture.device,
        at=capture.at,
    )


def _words(session: Session, subject: str) -> dict[str, Any]:
    row = session.get(ItemRow, subject.partition(":")[2])
    return {"number": row.number, "name": row.name, "kind": row.kind} if row else {}


def _line_about(capture: _Capture, subject: str, verb: str, body: dict[str, Any]) -> Line:
    line_id = derived_id(capture.entry_id, subject, verb)
    return Line(line_id, subject, verb, body, frozenset(), capture.person, capture.device, 0, capture.at)


def _keep_photo(session: Session, picture: Picture, capture: _Capture, shown: Sequence[str], now: str) -> str:
    """Write a photo's row and what it shows; one that shows nothing waits in the tray."""
    photo_id = derived_id(capture.entry_id, "photo")
    line = _line_about(
        capture, f"photo:{photo_id}", "photo", {"sha256": picture.sha256, "shows": list(shown)}
    )
    append(session, line, build_id=capture.build_id, now=now)
    session.add(
        PhotoRow(
            id=photo_id,
            build_id=capture.build_id,
            sha256=picture.sha256,
            width=picture.width,
            height=picture.height,
            line_id=line.id,
            at=now,
        )
    )
    session.flush()
    session.add_all(Shows(photo_id=photo_id, subject=subject) for subject in dict.fromkeys(shown))
    return photo_id
