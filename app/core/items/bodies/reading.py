"""Which record a line's body is: by its verb, and for what the plan says by the noun too."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from app.core.items.bodies.acts import Acknowledge, Confirm, Count, Dispose, Fate, Mark, Move, Settle, Undo
from app.core.items.bodies.base import Body
from app.core.items.bodies.gates import Answer, Pass, Recheck, Start, Stop
from app.core.items.bodies.milestones import MILESTONES, Accept, Choose, Explain
from app.core.items.bodies.papers import (
    AddPhoto,
    AddSheet,
    AddTool,
    EditPhoto,
    EditSheet,
    EditTag,
    EditTool,
    GivePhoto,
    GiveTag,
    VoidTag,
)
from app.core.items.bodies.plan import (
    AddBuild,
    AddPlace,
    AddStep,
    EditBuild,
    EditFolder,
    EditPlace,
    EditStep,
)
from app.core.items.bodies.things import AddItem, EditItem, EditOutstanding, Treat

_ANY: tuple[type[Body], ...] = (
    *(Mark, Count, Settle, Move, Dispose, Fate, Acknowledge, Confirm, Undo, Treat),
    *(Answer, Pass, Start, Recheck, Stop),
    *(*MILESTONES, Choose, Explain, Accept),
)
_BY_VERB: Mapping[str, type[Body]] = MappingProxyType({body.VERB: body for body in _ANY})
_BY_NOUN: Mapping[str, tuple[type[Body], ...]] = MappingProxyType(
    {
        "item": (AddItem, EditItem),
        "step": (AddStep, EditStep),
        "build": (AddBuild, EditBuild),
        "place": (AddPlace, EditPlace),
        "tag": (GiveTag, VoidTag, EditTag),
        "sheet": (AddSheet, EditSheet),
        "photo": (AddPhoto, GivePhoto, EditPhoto),
        "wrench": (AddTool, EditTool),
        "adapter": (AddTool, EditTool),
        "outstanding": (EditOutstanding,),
        "folder": (EditFolder,),
    }
)
_BY_BOTH: Mapping[tuple[str, str], type[Body]] = MappingProxyType(
    {(noun, body.VERB): body for noun, bodies in _BY_NOUN.items() for body in bodies}
)
VERBS = frozenset(_BY_VERB) | {verb for _, verb in _BY_BOTH}
"""What a line can say. `add` brings a subject into being and may carry its first act."""

PHONE_VERBS = frozenset(_BY_VERB) - {"treat"}
"""What phones can say; the other verbs are the server's, which writes the rows that they are about."""


@dataclass(frozen=True, slots=True)
class Unknown(Body):
    """A line of which this program knows no record: nothing follows from it."""


def record_type(verb: str, subject_type: str) -> type[Body]:
    """Return the record of what a verb says of a noun."""
    return _BY_BOTH.get((subject_type, verb)) or _BY_VERB.get(verb) or Unknown


def read_body(verb: str, subject: str, stored: Mapping[str, Any]) -> Body:
    """Return what a line says, from the stored form of any release."""
    return record_type(verb, subject.partition(":")[0]).read(stored)
