"""What happened: the journal, states as last folded, pictures, tags, and what phones sent."""

from typing import Any

from sqlalchemy import ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from app.store.db.tables.base import Base


class JournalRow(Base):
    """The append-only record. Triggers refuse every change and every deletion; its shape never changes."""

    __tablename__ = "journal"
    __table_args__ = (Index(None, "subject", "seq"),)
    seq: Mapped[int] = mapped_column(primary_key=True, autoincrement=True)
    id: Mapped[str] = mapped_column(unique=True)
    build_id: Mapped[str | None]
    subject: Mapped[str]
    verb: Mapped[str]
    body: Mapped[dict[str, Any]]
    v: Mapped[int]
    after: Mapped[list[Any]]
    device: Mapped[str]
    person: Mapped[str]
    phone_at: Mapped[str]
    server_at: Mapped[str]


class ItemStateRow(Base):
    """The state as last folded, written in the same transaction as the line: a cache, never the truth."""

    __tablename__ = "item_state"
    subject: Mapped[str] = mapped_column(primary_key=True)
    build_id: Mapped[str] = mapped_column(ForeignKey("build.id"), index=True)
    state: Mapped[dict[str, Any]]
    upto_seq: Mapped[int]


class PhotoRow(Base):
    """A stored picture; the file's name is the SHA-256 of its bytes."""

    __tablename__ = "photo"
    id: Mapped[str] = mapped_column(primary_key=True)
    build_id: Mapped[str] = mapped_column(ForeignKey("build.id"), index=True)
    sha256: Mapped[str] = mapped_column(index=True)
    width: Mapped[int]
    height: Mapped[int]
    line_id: Mapped[str]
    at: Mapped[str]


class Shows(Base):
    """Which photo shows which item, zone or place. A photo that shows nothing yet waits in the tray."""

    __tablename__ = "shows"
    photo_id: Mapped[str] = mapped_column(ForeignKey("photo.id"), primary_key=True)
    subject: Mapped[str] = mapped_column(primary_key=True, index=True)


class Sheet(Base):
    """One printing of blank tags."""

    __tablename__ = "sheet"
    id: Mapped[str] = mapped_column(primary_key=True)
    nr: Mapped[int] = mapped_column(unique=True)
    grid: Mapped[str]
    halves: Mapped[bool]
    name: Mapped[str]
    port: Mapped[int]
    made_at: Mapped[str]


class Tag(Base):
    """A code on paper. `subject` is what it was given to; a void one is never used again."""

    __tablename__ = "tag"
    code: Mapped[str] = mapped_column(primary_key=True)
    sheet_id: Mapped[str | None] = mapped_column(ForeignKey("sheet.id"), index=True)
    subject: Mapped[str | None] = mapped_column(index=True)
    void_at: Mapped[str | None]


class Receipt(Base):
    """What was answered to an entry of a phone's outbox: the same entry gets the same answer, once only."""

    __tablename__ = "receipt"
    id: Mapped[str] = mapped_column(primary_key=True)
    device: Mapped[str]
    body_sha: Mapped[str]
    status: Mapped[int]
    answer: Mapped[dict[str, Any]]


class Quarantine(Base):
    """Entries of a phone that was shut out, or of an unknown form, kept until the owner decides."""

    __tablename__ = "quarantine"
    id: Mapped[str] = mapped_column(primary_key=True)
    device: Mapped[str]
    body: Mapped[dict[str, Any]]
    why: Mapped[str]
    at: Mapped[str]
    decided: Mapped[str | None]
