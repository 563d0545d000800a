"""One entry from a phone or a page: its photo is read and kept once, and what it says is written."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from app.core.problem import Problem
from app.core.tags import read_typed
from app.store.crew import Visitor
from app.store.folder import Folder
from app.store.intake import intake
from app.store.intake.entries import IntakeAnswer, Sent, StoredPicture, refuse
from app.store.intake.photos import drop_unnamed, keep_picture

OTHER_FOLDER = Problem(
    "folder", "This entry belongs to another build's folder; it stays on the phone.", "folder"
)
MAY_NOT_WRITE = Problem("role", "This phone was let in to look, not to mark.")


@dataclass(frozen=True, slots=True)
class PhotoRead:
    """A photo as it was read: small enough to be kept, and the codes that stand in it, in reading order."""

    jpeg: bytes
    width: int
    height: int
    codes: tuple[str, ...]


PhotoReader = Callable[[bytes], PhotoRead | Problem]


def take_in(
    folder: Folder,
    entry: Mapping[str, Any],
    photo: bytes | None,
    visitor: Visitor,
    *,
    read_photo: PhotoReader,
    now: str,
) -> IntakeAnswer:
    """Take one entry in, exactly once: one that came before gets the answer that it got then.

    Args:
        folder: The open data folder.
        entry: Its fields, as sent.
        photo: The photo as sent, of any size.
        visitor: Whose phone it came from; one that may only look is refused, one that was shut out is not.
        read_photo: Reads a photo; a `Problem` where it is none.
        now: The server's time.
    """
    if entry.get("folder") != folder.id:
        return refuse(OTHER_FOLDER, 409)
    if not visitor.may_write and not visitor.shut:
        return refuse(MAY_NOT_WRITE, 403)
    if photo is not None:
        with folder.database.reading() as session:
            before = intake.receipt_by_id(session, str(entry.get("id", "")))
        if before:
            return before
    sent, jpeg = _sent(folder, entry, photo, read_photo)
    if isinstance(sent, Problem):
        return refuse(sent)
    with folder.database.unit_of_work() as session:
        if jpeg:  # refused with the same picture, another entry may have taken it away meanwhile
            keep_picture(folder.photos, jpeg)
        answer = intake.receive(session, sent, visitor, now=now)
        if sent.picture:
            drop_unnamed(session, folder.photos, sent.picture.sha256)
        return answer


def _sent(
    folder: Folder, entry: Mapping[str, Any], photo: bytes | None, read_photo: PhotoReader
) -> tuple[Sent | Problem, bytes]:
    """Return an entry with its typed code and its photo read, and its picture, on the disk by then.

    Written before its unit of work, a picture keeps nobody waiting for the disk.
    """
    if typed := str(entry.get("code") or ""):
        code = read_typed(typed)
        if isinstance(code, Problem):
            return code, b""
        entry = {**entry, "code": code}
    if photo is None:
        return Sent(entry), b""
    read = read_photo(photo)
    if isinstance(read, Problem):
        return read, b""
    sha = keep_picture(folder.photos, read.jpeg)
    return Sent(entry, StoredPicture(sha, read.width, read.height), read.codes), read.jpeg
