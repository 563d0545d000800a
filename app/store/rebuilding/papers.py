"""What lines say of sheets, tags, photos, tools and what is waited for, put into rows."""

from collections.abc import Iterable

from app.core.items.bodies.papers import (
    AddPhoto,
    AddSheet,
    EditPhoto,
    EditTag,
    EditTool,
    GivePhoto,
    GiveTag,
    ToolFields,
    VoidTag,
)
from app.core.items.bodies.things import EditOutstanding, OutstandingFields, Treat
from app.store.procurement.outstanding import OUTSTANDING_FIELDS
from app.store.rebuilding.tables import Row, Tables, Told, put, said_of

SHEET_FIELDS = ("nr", "grid", "halves", "name", "port", "made_at")
WRENCH_FIELDS = ("name", "low", "high", "unit", "graduation", "type", "lever_mm", "checked_at", "rev")
ADAPTER_FIELDS = ("name", "length_mm", "angle_deg", "rev")


def tell_sheet(tables: Tables, told: Told, said: AddSheet) -> None:
    """Put a sheet and its blank tags into rows."""
    put(tables.sheet, told.id, {"id": told.id}, said_of(said, SHEET_FIELDS))
    for code in said.codes:
        put(tables.tag, code, _fresh_tag(code), {"sheet_id": told.id})


def _fresh_tag(code: str) -> Row:
    return {"code": code, "sheet_id": None, "subject": None, "void_at": None}


def tell_tag(tables: Tables, told: Told, said: GiveTag | VoidTag | EditTag) -> None:
    """Put what a tag was given to into its row, or that it is void."""
    match said:
        case GiveTag():
            values: Row = {"subject": said.to}
        case VoidTag():
            values = {"void_at": told.at}
        case EditTag():
            values = said_of(said, ("void_at",), to="subject", sheet="sheet_id")
    put(tables.tag, told.id, _fresh_tag(told.id), values)


def tell_photo(tables: Tables, told: Told, said: AddPhoto | GivePhoto) -> None:
    """Put a photo into its row, and what it shows."""
    if isinstance(said, AddPhoto):
        is_told = isinstance(said, EditPhoto)
        fresh: Row = {"id": told.id, "build_id": told.build_id, "width": 0, "height": 0}
        fresh |= {} if is_told else {"line_id": told.line.id, "at": told.at}
        put(tables.photo, told.id, fresh, said_of(said, ("sha256", "width", "height")))
    if isinstance(said, EditPhoto):
        put(tables.photo, told.id, {}, said_of(said, ("at",), line="line_id"))
    _show(tables, told.id, said.shows)


def _show(tables: Tables, photo_id: str, subjects: Iterable[str]) -> None:
    for subject in subjects:
        tables.shows.setdefault((photo_id, subject), {"photo_id": photo_id, "subject": subject})


def tell_tool(rows: dict[str, Row], told: Told, said: ToolFields, names: Iterable[str]) -> None:
    """Put a wrench or an adapter into its row, or take it out."""
    if isinstance(said, EditTool) and said.deleted is not None:
        rows.pop(told.id, None)
    else:
        put(rows, told.id, {"id": told.id}, said_of(said, names))


def tell_outstanding(tables: Tables, told: Told, said: OutstandingFields) -> None:
    """Put what is waited for into its row, or take it out."""
    values = said_of(said, OUTSTANDING_FIELDS)
    if isinstance(said, EditOutstanding):
        fresh = {"id": told.id, "build_id": told.build_id, "subject": said.subject}
        put(
            tables.outstanding,
            told.id,
            fresh,
            values | {"done_line": said.values("done_line").get("done_line")},
        )
    elif isinstance(said, Treat) and said.deleted:
        tables.outstanding.pop(said.wait, None)
    elif isinstance(said, Treat):
        fresh = {"id": said.wait, "build_id": told.build_id, "subject": told.line.subject}
        values["done_line"] = told.line.id if values.get("done_on") else None
        put(tables.outstanding, said.wait, fresh, values)
