"""Captures: a photograph or a typed code taken at the engine becomes items, findings and pictures."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy.orm import Session

from app.core.ids import is_id
from app.core.items.bodies.base import Body
from app.core.items.bodies.papers import AddPhoto, GiveTag
from app.core.items.items import DETAIL, Finding, Item
from app.core.items.journal import Line
from app.core.items.kinds import ITEM_KINDS, Act, Kind, opening_act
from app.core.ledger.ledger import has_begun
from app.core.problem import Problem
from app.core.tags import is_code
from app.store import tags
from app.store.crew import Visitor
from app.store.db.models import ItemRow, ItemStateRow, PhotoRow, Shows
from app.store.intake.entries import (
    NO_BUILD,
    IntakeAnswer,
    Sent,
    StoredPicture,
    build_of,
    derived_id,
    is_act,
    is_subject,
    refuse,
    who_did,
)
from app.store.journal import append, read_state
from app.store.plan.items import add_item, first_line

SHOWN_TYPES = frozenset({"item", "step", "place", "zone", "build"})
"""What a photo can show."""


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
    closes: str = ""


def receive_capture(session: Session, sent: Sent, visitor: Visitor, now: str) -> IntakeAnswer:
    """Write what a capture shows: the item of a blank tag, a finding, the photo.

    The answer says what stands behind each code.
    """
    entry = sent.entry
    build = build_of(session, entry)
    if build is None:
        return refuse(NO_BUILD)
    capture = _capture(entry, build.id, visitor, who_did(session, entry, visitor))
    if isinstance(capture, Problem):
        return refuse(capture)
    typed, subject = str(entry.get("code") or ""), str(entry.get("subject") or "")
    if typed and not is_code(typed):
        return refuse(Problem("code", "This is no tag's code. Look at the tag again.", "code"))
    if subject and not is_subject(subject, SHOWN_TYPES):
        return refuse(Problem("subject", "The entry does not say what it is about.", "subject"))
    codes = dict.fromkeys([*([typed] if typed else []), *sent.codes])
    found = _raise_finding(session, capture, now) if capture.about else []
    if subject:  # one more photo of what is there: a blank tag that lies in the frame stays blank
        codes = {code: None for code in codes if code == typed or tags.look_up(session, code).state == "used"}
    found += [_behind(session, code, i, capture, now) for i, code in enumerate(codes)]
    shown = [f["subject"] for f in found if f.get("subject")] + ([subject] if subject else [])
    if on := _here(session, capture, capture.about):
        shown.append(f"item:{on.id}")
    if not codes and not sent.picture and not capture.about:
        return refuse(Problem("nothing", "There is neither a photo nor a code in this entry.", "photo"))
    photo = _keep_photo(session, sent.picture, capture, shown, now) if sent.picture else None
    return IntakeAnswer(200, {"found": found, "photo": photo, "tray": bool(photo and not shown)})


def _capture(entry: Mapping[str, Any], build_id: str, visitor: Visitor, person: str) -> _Capture | Problem:
    kind, act, item_id = entry.get("kind", "connection"), entry.get("act") or None, entry.get("item")
    if kind not in ITEM_KINDS:
        return Problem("kind", "Choose what kind of thing it is.", "kind")
    if act is not None and not is_act(act, Kind(kind)):
        return Problem("act", "This kind of thing has no such state.", "act")
    if not is_id(item_id):
        return Problem("item", "The entry has no number for its item; reload the page.", "item")
    about = str(entry.get("about") or "") if kind == Kind.FINDING else ""
    if about and not is_id(about):
        return Problem("about", "The entry does not say on what it was found; reload the page.", "about")
    closes = str(entry.get("closes") or "") if kind == Kind.TEMPORARY else ""
    if closes and not is_id(closes):
        return Problem("closes", "The entry does not say what this closes; reload the page.", "closes")
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
        closes,
    )


def _raise_finding(session: Session, capture: _Capture, now: str) -> list[dict[str, Any]]:
    """Write down that something is wrong with an item: a line of its own, tied to it, tag or no tag.

    Where the item is not here the finding stands alone: what was found is never lost.
    """
    on = _here(session, capture, capture.about)
    name = capture.what[:120] or (f"Something wrong with #{on.number} {on.name}".strip()[:120] if on else "")
    item = Item(
        capture.item_id,
        0,
        Kind.FINDING,
        name,
        (on.step_id if on else capture.step) or "",
        (on.zone_id if on else capture.zone) or "",
        owner=on.owner if on else "",
        detail=Finding(what=capture.what, blocks=capture.blocks),
    )
    if session.get(ItemRow, item.id) is None:
        add_item(
            session,
            item,
            _first(item, capture),
            build_id=capture.build_id,
            now=now,
            edges={"found_on": {on.id} if on else set()},
        )
    subject = f"item:{item.id}"
    return [{"code": "", "state": "raised", "subject": subject, **_words(session, subject)}]


def _here(session: Session, capture: _Capture, item_id: str) -> ItemRow | None:
    """Return the item that a capture names, where it is one of this build."""
    row = session.get(ItemRow, item_id) if item_id else None
    return row if row and row.build_id == capture.build_id else None


def _behind(session: Session, code: str, nth: int, capture: _Capture, now: str) -> dict[str, Any]:
    """Return what stands behind a code; a blank one becomes an item of the kind in hand."""
    tag = tags.look_up(session, code)
    if tag.state == "void":
        return {"code": code, "state": "void"}
    if tag.state == "used":
        said = {"code": code, "state": "used", "subject": tag.subject, **_words(session, tag.subject)}
        return said | _not_off(session, tag.subject)
    item_id = capture.item_id if nth == 0 else derived_id(capture.entry_id, code)
    item = Item(item_id, 0, capture.kind, step=capture.step, zone=capture.zone, detail=DETAIL[capture.kind]())
    if session.get(ItemRow, item_id) is None:
        closed = _here(session, capture, capture.closes)
        edges = {"closes": {closed.id}} if closed else {}
        add_item(session, item, _first(item, capture), build_id=capture.build_id, now=now, edges=edges)
    give_line = _line_about(capture, f"tag:{code}", GiveTag(to=f"item:{item_id}"))
    tags.give(session, code, f"item:{item_id}", give_line, build_id=capture.build_id, now=now)
    said = {"code": code, "state": "new", "subject": f"item:{item_id}", **_words(session, f"item:{item_id}")}
    return said | {"line": derived_id(capture.entry_id, item_id, "add")}


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


def _not_off(session: Session, subject: str) -> dict[str, Any]:
    """Return what marks a thing off to which nothing happened, or whose taking off was undone.

    A photo alone does not mark it: whoever took the photo is asked.
    """
    row = session.get(ItemRow, subject.partition(":")[2])
    stored = session.get(ItemStateRow, subject)
    if row is None or (stored and has_begun(read_state(stored.state))):
        return {}
    after = list(read_state(stored.state).tips) if stored else []
    return {"not_off": {"act": opening_act(Kind(row.kind)).value, "after": after}}


def _line_about(capture: _Capture, subject: str, said: Body) -> Line:
    line_id = derived_id(capture.entry_id, subject, said.VERB)
    body = said.stored()
    return Line(line_id, subject, said.VERB, body, frozenset(), capture.person, capture.device, 0, capture.at)


def _keep_photo(
    session: Session, picture: StoredPicture, capture: _Capture, shown: Sequence[str], now: str
) -> str:
    """Write a photo's row and what it shows; one that shows nothing waits in the tray."""
    photo_id = derived_id(capture.entry_id, "photo")
    said = AddPhoto(sha256=picture.sha256, shows=tuple(shown), width=picture.width, height=picture.height)
    line = _line_about(capture, f"photo:{photo_id}", said)
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
