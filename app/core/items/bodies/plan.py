"""What is said of the plan: builds with their zones and steps, places; a change carries what it changes."""

from dataclasses import dataclass
from typing import Any, ClassVar

from app.core.items.bodies.base import Body, key
from app.core.items.bodies.rules import EXCEPTION, ID, OBJECT, TEXT, TEXTS, TICK, WHOLE, many, records


@dataclass(frozen=True, slots=True)
class ZoneBody(Body):
    """A zone as it stands in the line of its build."""

    id: str = key(ID, "")
    position: int = key(WHOLE)
    level: str = key(TEXT)
    label: str = key(TEXT)
    key: str = key(TEXT)


@dataclass(frozen=True, slots=True)
class StepFields(Body):
    """What is known of a step; `None` where a line does not say it."""

    position: int | None = key(WHOLE)
    name: str | None = key(TEXT)
    height: str | None = key(TEXT)
    people: int | None = key(WHOLE)
    minutes: int | None = key(WHOLE)
    direction: str | None = key(TEXT)
    cautions: tuple[str, ...] | None = key(TEXTS)
    shares_zone: bool | None = key(TICK)
    role: str | None = key(TEXT)
    name_back: str | None = key(TEXT)
    instruction: str | None = key(TEXT)
    instruction_back: str | None = key(TEXT)
    for_helper: bool | None = key(TICK)
    rev: int | None = key(WHOLE)


@dataclass(frozen=True, slots=True)
class StepBody(StepFields):
    """A step as it stands in the line of its build."""

    id: str = key(ID, "")


@dataclass(frozen=True, slots=True)
class AddStep(StepFields):
    """A step comes into being."""

    VERB: ClassVar[str] = "add"
    VERSION: ClassVar[int] = 2


@dataclass(frozen=True, slots=True)
class EditStep(StepFields):
    """A step is changed.

    Args:
        predecessors: The steps that come before it on the way back, each with why: all of them.
        order: Ids of all steps of the build in their order, where it was moved.
        deleted: Its name, where it is deleted: what named it goes with it.
        with_it: How many named it, as earlier releases said it.
        orders: Stated orders that go with it, or come back with it: before, after, why.
        exceptions: Exceptions that are done in it, and go or come with it: item, what, nth, why.
        items: The things that lose it as their step, or get it back.
        stated: Where a line says what is known already: by whom.
    """

    VERB: ClassVar[str] = "edit"
    VERSION: ClassVar[int] = 2
    predecessors: tuple[tuple[str, ...], ...] | None = key(many(TEXTS))
    order: tuple[str, ...] | None = key(TEXTS)
    deleted: str | None = key(TEXT)
    with_it: int = key(WHOLE, 0)
    orders: tuple[tuple[str, ...], ...] | None = key(many(TEXTS))
    exceptions: tuple[tuple[Any, ...], ...] | None = key(many(EXCEPTION))
    items: tuple[str, ...] | None = key(TEXTS)
    stated: str = key(TEXT, "")


@dataclass(frozen=True, slots=True)
class BuildFields(Body):
    """What is known of a build; `None` where a line does not say it.

    Args:
        swap: The routes and units, see `app.core.phases.swap`.
        zones: Zones that are new with this line.
        steps: Steps that are new with this line.
        step_edges: Stated orders that are new with this line: before, after, why.
    """

    nr: int | None = key(WHOLE)
    title: str | None = key(TEXT)
    vehicle: str | None = key(TEXT)
    layout: str | None = key(TEXT)
    units: str | None = key(TEXT)
    dialect: str | None = key(TEXT, was="words")
    currency: str | None = key(TEXT)
    made_at: str | None = key(TEXT)
    rev: int | None = key(WHOLE)
    swap: dict[str, Any] | None = key(OBJECT)
    zones: tuple[ZoneBody, ...] = key(records(ZoneBody), ())
    steps: tuple[StepBody, ...] = key(records(StepBody), ())
    step_edges: tuple[tuple[str, ...], ...] = key(many(TEXTS), ())


@dataclass(frozen=True, slots=True)
class AddBuild(BuildFields):
    """A build comes into being, with the zones and steps of its layout."""

    VERB: ClassVar[str] = "add"
    VERSION: ClassVar[int] = 2


@dataclass(frozen=True, slots=True)
class EditBuild(BuildFields):
    """A build is changed.

    Args:
        order: Ids of all its steps in their order, where they were put in another one.
        kept: Ids of all its steps in the order as done, where the plan's is kept although they differ.
        zone: The label of a zone that is new, as earlier releases said it.
        list: How many items a list has that was put in.
        stated: Where a line says what is known already: by whom.
    """

    VERB: ClassVar[str] = "edit"
    VERSION: ClassVar[int] = 2
    order: tuple[str, ...] | None = key(TEXTS)
    kept: tuple[str, ...] | None = key(TEXTS)
    zone: str = key(TEXT, "")
    stated: str = key(TEXT, "")
    list: int | None = key(WHOLE)


@dataclass(frozen=True, slots=True)
class EditFolder(Body):
    """What the lines after it say is all that there is: those before it are spent for the plan."""

    VERB: ClassVar[str] = "edit"
    VERSION: ClassVar[int] = 2
    afresh: bool = key(TICK, default=False)
    stated: str = key(TEXT, "")


@dataclass(frozen=True, slots=True)
class AddPlace(Body):
    """A place comes into being."""

    VERB: ClassVar[str] = "add"
    VERSION: ClassVar[int] = 2
    name: str | None = key(TEXT)
    rev: int | None = key(WHOLE)


@dataclass(frozen=True, slots=True)
class EditPlace(AddPlace):
    """A place is changed."""

    VERB: ClassVar[str] = "edit"
    stated: str = key(TEXT, "")
