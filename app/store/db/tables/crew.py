"""This folder, its crew and their devices."""

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.store.db.tables.base import Base


class FolderRow(Base):
    """This data folder: who it is, and the address it is reached at. One row."""

    __tablename__ = "folder"
    id: Mapped[str] = mapped_column(primary_key=True)
    epoch: Mapped[int]
    name: Mapped[str]
    port: Mapped[int]
    demo: Mapped[bool]
    made_at: Mapped[str]


class PrintedAddress(Base):
    """A name and port that stand on printed tags: kept alive for as long as the folder lives."""

    __tablename__ = "printed_address"
    name: Mapped[str] = mapped_column(primary_key=True)
    port: Mapped[int] = mapped_column(primary_key=True)


class Person(Base):
    """Somebody of the crew. Lines name the person's id, so that the name can be erased."""

    __tablename__ = "person"
    id: Mapped[str] = mapped_column(primary_key=True)
    name: Mapped[str]


class Device(Base):
    """A browser that was let in. `key_hash` is the SHA-256 of its key; `shut_at` shuts it out at once."""

    __tablename__ = "device"
    id: Mapped[str] = mapped_column(primary_key=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"))
    label: Mapped[str]
    role: Mapped[str]
    key_hash: Mapped[str] = mapped_column(unique=True)
    made_at: Mapped[str]
    seen_at: Mapped[str]
    shut_at: Mapped[str | None]


class Pairing(Base):
    """A code that lets one phone in, once, for ten minutes."""

    __tablename__ = "pairing"
    token_hash: Mapped[str] = mapped_column(primary_key=True)
    role: Mapped[str]
    ends_at: Mapped[str]
    spent_at: Mapped[str | None]
