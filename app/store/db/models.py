"""All tables. Ids are 32 hexadecimal digits made by whoever writes first; `seq` is the server's own count."""

from app.store.db.tables.base import NAMING, Base
from app.store.db.tables.crew import Device, FolderRow, Pairing, Person, PrintedAddress
from app.store.db.tables.plan import (
    Build,
    EdgeRow,
    GoesAfterRow,
    InstallExceptionRow,
    ItemRow,
    Place,
    SideExceptionRow,
    Step,
    StepEdgeRow,
    Zone,
)
from app.store.db.tables.record import (
    ItemStateRow,
    JournalRow,
    PhotoRow,
    Quarantine,
    Receipt,
    Sheet,
    Shows,
    Tag,
)
from app.store.db.tables.stock import AdapterRow, OutstandingRow, WrenchRow

__all__ = [
    "NAMING",
    "AdapterRow",
    "Base",
    "Build",
    "Device",
    "EdgeRow",
    "FolderRow",
    "GoesAfterRow",
    "InstallExceptionRow",
    "ItemRow",
    "ItemStateRow",
    "JournalRow",
    "OutstandingRow",
    "Pairing",
    "Person",
    "PhotoRow",
    "Place",
    "PrintedAddress",
    "Quarantine",
    "Receipt",
    "Sheet",
    "Shows",
    "SideExceptionRow",
    "Step",
    "StepEdgeRow",
    "Tag",
    "WrenchRow",
    "Zone",
]
