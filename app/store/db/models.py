"""The tables. Ids are 32 hexadecimal digits made by whoever writes first; `seq` is the server's own count."""

from typing import Any

from sqlalchemy import JSON, ForeignKey, Index, MetaData, UniqueConstraint, false, true
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(DeclarativeBase):
    """All tables; constraints have names, so that migrations can find them. Times are UTC text, ISO 8601."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map = {dict[str, Any]: JSON, list[Any]: JSON}  # noqa: RUF012 - SQLAlchemy's own form


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


class Build(Base):
    """One vehicle's job, from first spanner to first drive."""

    __tablename__ = "build"
    id: Mapped[str] = mapped_column(primary_key=True)
    nr: Mapped[int] = mapped_column(unique=True)
    title: Mapped[str]
    vehicle: Mapped[str]
    layout: Mapped[str]
    units: Mapped[str]
    dialect: Mapped[str]
    made_at: Mapped[str]
    rev: Mapped[int] = mapped_column(default=1)
    currency: Mapped[str] = mapped_column(default="EUR", server_default="EUR")
    swap: Mapped[dict[str, Any]] = mapped_column(default=dict, server_default="{}")


class Zone(Base):
    """A named area of the bay. `key` is the layout's; a zone of the owner's own has none and no shape."""

    __tablename__ = "zone"
    __table_args__ = (UniqueConstraint("build_id", "position"),)
    id: Mapped[str] = mapped_column(primary_key=True)
    build_id: Mapped[str] = mapped_column(ForeignKey("build.id"))
    position: Mapped[int]
    key: Mapped[str]
    level: Mapped[str]
    label: Mapped[str]


class Step(Base):
    """A piece of work, in the plan's order of taking off.

    `name` and `instruction` are those of taking off, or of the only way that it goes; an empty `name_back`
    is proposed from the name.
    """

    __tablename__ = "step"
    __table_args__ = (Index(None, "build_id", "position"),)
    id: Mapped[str] = mapped_column(primary_key=True)
    build_id: Mapped[str] = mapped_column(ForeignKey("build.id"))
    position: Mapped[int]
    name: Mapped[str]
    height: Mapped[str]
    people: Mapped[int]
    minutes: Mapped[int]
    direction: Mapped[str]
    cautions: Mapped[list[Any]]
    shares_zone: Mapped[bool] = mapped_column(default=False, server_default=false())
    role: Mapped[str] = mapped_column(default="", server_default="")
    name_back: Mapped[str] = mapped_column(default="", server_default="")
    instruction: Mapped[str] = mapped_column(default="", server_default="")
    instruction_back: Mapped[str] = mapped_column(default="", server_default="")
    for_helper: Mapped[bool] = mapped_column(default=True, server_default=true())
    rev: Mapped[int] = mapped_column(default=1)


class ItemRow(Base):
    """One line of the ledger: its words and its place in the plan. What happened to it is in the journal.

    `detail` holds the fields of the item's kind, `app.core.items.items.DETAIL` says which.
    """

    __tablename__ = "item"
    __table_args__ = (UniqueConstraint("build_id", "number"),)
    id: Mapped[str] = mapped_column(primary_key=True)
    build_id: Mapped[str] = mapped_column(ForeignKey("build.id"))
    number: Mapped[int]
    kind: Mapped[str]
    name: Mapped[str]
    step_id: Mapped[str | None] = mapped_column(ForeignKey("step.id"), index=True)
    zone_id: Mapped[str | None] = mapped_column(ForeignKey("zone.id"))
    n: Mapped[int | None]
    critical: Mapped[bool]
    owner: Mapped[str]
    note: Mapped[str]
    detail: Mapped[dict[str, Any]]
    system: Mapped[str] = mapped_column(default="", server_default="")
    was_critical: Mapped[bool] = mapped_column(default=False, server_default=false())
    rev: Mapped[int] = mapped_column(default=1)


class EdgeRow(Base):
    """What holds, joins, covers, seals, closes, pairs, replaces or moves to what."""

    __tablename__ = "edge"
    from_item: Mapped[str] = mapped_column(ForeignKey("item.id"), primary_key=True)
    rel: Mapped[str] = mapped_column(primary_key=True)
    to_item: Mapped[str] = mapped_column(ForeignKey("item.id"), primary_key=True, index=True)


class StepEdgeRow(Base):
    """A stated order of two steps on the way back, with its reason."""

    __tablename__ = "step_edge"
    before_step: Mapped[str] = mapped_column(ForeignKey("step.id"), primary_key=True)
    after_step: Mapped[str] = mapped_column(ForeignKey("step.id"), primary_key=True, index=True)
    build_id: Mapped[str] = mapped_column(ForeignKey("build.id"), index=True)
    reason: Mapped[str]


class GoesAfterRow(Base):
    """A thing that is stated to go back after another, with its reason."""

    __tablename__ = "goes_after"
    item_id: Mapped[str] = mapped_column(ForeignKey("item.id"), primary_key=True)
    after_item: Mapped[str] = mapped_column(ForeignKey("item.id"), primary_key=True, index=True)
    reason: Mapped[str]


class SideExceptionRow(Base):
    """A thing that goes on before its engine goes in, or stays off until it is in, with its reason."""

    __tablename__ = "side_exception"
    item_id: Mapped[str] = mapped_column(ForeignKey("item.id"), primary_key=True)
    what: Mapped[str]
    reason: Mapped[str]


class InstallExceptionRow(Base):
    """An exception of one item to the reverse; `InstallException` says what its columns mean."""

    __tablename__ = "install_exception"
    item_id: Mapped[str] = mapped_column(ForeignKey("item.id"), primary_key=True)
    what: Mapped[str] = mapped_column(primary_key=True)
    step_id: Mapped[str] = mapped_column(ForeignKey("step.id"), index=True)
    nth: Mapped[int]
    reason: Mapped[str]


class ItemStateRow(Base):
    """The state as last folded, written in the same transaction as the line: a cache, never the truth."""

    __tablename__ = "item_state"
    subject: Mapped[str] = mapped_column(primary_key=True)
    build_id: Mapped[str] = mapped_column(ForeignKey("build.id"), index=True)
    state: Mapped[dict[str, Any]]
    upto_seq: Mapped[int]


class Place(Base):
    """Where things are kept: a bag, a crate, a shelf.

    What lies where follows from `move` lines; `parent_id` is where this place stands now, as last folded.
    """

    __tablename__ = "place"
    id: Mapped[str] = mapped_column(primary_key=True)
    build_id: Mapped[str] = mapped_column(ForeignKey("build.id"), index=True)
    name: Mapped[str]
    parent_id: Mapped[str | None]
    rev: Mapped[int] = mapped_column(default=1)


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


class WrenchRow(Base):
    """A torque wrench in the drawer. Its scale is kept as text, digit for digit as it was typed."""

    __tablename__ = "wrench"
    id: Mapped[str] = mapped_column(primary_key=True)
    name: Mapped[str]
    low: Mapped[str]
    high: Mapped[str]
    unit: Mapped[str]
    graduation: Mapped[str]
    type: Mapped[str]
    lever_mm: Mapped[float]
    checked_at: Mapped[str | None]
    rev: Mapped[int] = mapped_column(default=1)


class AdapterRow(Base):
    """A crow-foot or other adapter for the square of a wrench."""

    __tablename__ = "adapter"
    id: Mapped[str] = mapped_column(primary_key=True)
    name: Mapped[str]
    length_mm: Mapped[float]
    angle_deg: Mapped[float]
    rev: Mapped[int] = mapped_column(default=1)


class OutstandingRow(Base):
    """What the work waits for: a thing away, to be got, soaking, to be returned or sold. Days are text.

    `price_minor` is in minor units of `currency`; `done_line` is the line that closed it.
    """

    __tablename__ = "outstanding"
    id: Mapped[str] = mapped_column(primary_key=True)
    build_id: Mapped[str] = mapped_column(ForeignKey("build.id"), index=True)
    subject: Mapped[str]
    category: Mapped[str]
    need: Mapped[str]
    what: Mapped[str]
    at_whom: Mapped[str]
    since: Mapped[str | None]
    due: Mapped[str | None]
    price_minor: Mapped[int | None]
    currency: Mapped[str]
    count: Mapped[int]
    done_on: Mapped[str | None]
    done_line: Mapped[str | None]
    rev: Mapped[int] = mapped_column(default=1)
