"""A build and its plan: zones, steps, items, what is tied to what, and where things are kept."""

from typing import Any

from sqlalchemy import ForeignKey, Index, UniqueConstraint, false, true
from sqlalchemy.orm import Mapped, mapped_column

from app.store.db.tables.base import Base


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
    listed_as: Mapped[str] = mapped_column(default="", server_default="")
    was_critical: Mapped[bool] = mapped_column(default=False, server_default=false())
    critical_as: Mapped[str] = mapped_column(default="", server_default="")
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
