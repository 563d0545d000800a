"""Wrenches and what the work waits for."""

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.store.db.tables.base import Base


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
