"""What is said of tags, sheets, photos and tools."""

from dataclasses import dataclass
from typing import ClassVar

from app.core.items.bodies.base import UNSAID, Body, Unsaid, key
from app.core.items.bodies.rules import NUMBER, TEXT, TEXTS, TICK, WHOLE, or_null


@dataclass(frozen=True, slots=True)
class GiveTag(Body):
    """A tag is given to something."""

    VERB: ClassVar[str] = "give"
    to: str = key(TEXT, "")


@dataclass(frozen=True, slots=True)
class VoidTag(Body):
    """A tag is out of use for ever."""

    VERB: ClassVar[str] = "void"


@dataclass(frozen=True, slots=True)
class EditTag(Body):
    """All that is known of a tag, said again: its sheet, what it was given to, since when it is void."""

    VERB: ClassVar[str] = "edit"
    VERSION: ClassVar[int] = 2
    sheet: str | Unsaid | None = key(or_null(TEXT), UNSAID)
    to: str | Unsaid | None = key(or_null(TEXT), UNSAID)
    void_at: str | Unsaid | None = key(or_null(TEXT), UNSAID)
    stated: str = key(TEXT, "")


@dataclass(frozen=True, slots=True)
class AddSheet(Body):
    """Blank tags are printed: which codes, on which labels, with which address."""

    VERB: ClassVar[str] = "add"
    VERSION: ClassVar[int] = 2
    nr: int | None = key(WHOLE)
    grid: str | None = key(TEXT)
    halves: bool | None = key(TICK)
    name: str | None = key(TEXT)
    port: int | None = key(WHOLE)
    made_at: str | None = key(TEXT)
    codes: tuple[str, ...] = key(TEXTS, ())


@dataclass(frozen=True, slots=True)
class EditSheet(AddSheet):
    """All that is known of a sheet, said again."""

    VERB: ClassVar[str] = "edit"
    stated: str = key(TEXT, "")


@dataclass(frozen=True, slots=True)
class AddPhoto(Body):
    """A picture is kept: the SHA-256 of its bytes, its size in pixels, and what it shows."""

    VERB: ClassVar[str] = "photo"
    VERSION: ClassVar[int] = 2
    sha256: str = key(TEXT, "")
    shows: tuple[str, ...] = key(TEXTS, ())
    width: int | None = key(WHOLE)
    height: int | None = key(WHOLE)


@dataclass(frozen=True, slots=True)
class GivePhoto(Body):
    """A picture is given to what it shows, besides what it shows already."""

    VERB: ClassVar[str] = "give"
    shows: tuple[str, ...] = key(TEXTS, ())


@dataclass(frozen=True, slots=True)
class EditPhoto(AddPhoto):
    """All that is known of a picture, said again; `line` is the line with which it came, `at` when."""

    VERB: ClassVar[str] = "edit"
    line: str | None = key(TEXT)
    at: str | None = key(TEXT)
    stated: str = key(TEXT, "")


@dataclass(frozen=True, slots=True)
class ToolFields(Body):
    """What is known of a wrench, or (`length_mm`, `angle_deg`) of an adapter."""

    name: str | None = key(TEXT)
    low: str | None = key(TEXT)
    high: str | None = key(TEXT)
    unit: str | None = key(TEXT)
    graduation: str | None = key(TEXT)
    type: str | None = key(TEXT, was="sort")
    lever_mm: float | None = key(NUMBER)
    checked_at: str | Unsaid | None = key(or_null(TEXT), UNSAID)
    length_mm: float | None = key(NUMBER)
    angle_deg: float | None = key(NUMBER)
    rev: int | None = key(WHOLE)


@dataclass(frozen=True, slots=True)
class AddTool(ToolFields):
    """A wrench or an adapter is put into the drawer."""

    VERB: ClassVar[str] = "add"
    VERSION: ClassVar[int] = 2


@dataclass(frozen=True, slots=True)
class EditTool(ToolFields):
    """A wrench or an adapter is changed, or removed (`deleted`: its name)."""

    VERB: ClassVar[str] = "edit"
    VERSION: ClassVar[int] = 2
    deleted: str | None = key(TEXT)
    stated: str = key(TEXT, "")
