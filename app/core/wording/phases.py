"""Units, routes and milestones as a person reads them."""

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from app.core.phases.milestones import TOGETHER, Milestone, Verb
from app.core.phases.next_milestones import Offer
from app.core.phases.phases import Phases, UnitState
from app.core.phases.registers import Place
from app.core.phases.routes import Route
from app.core.phases.units import NEW, OLD, Unit, UnitKind, Units

ROUTE_OUT: Mapping[Route, str] = MappingProxyType(
    {
        Route.ENGINE_UP: "Engine up, gearbox stays",
        Route.TOGETHER_UP: "Engine and gearbox up together",
        Route.SUBFRAME_DOWN: "Down, on its subframe",
        Route.BODY_OFF: "The body is lifted off",
        Route.REAR_DOWN: "Down at the rear or middle",
        Route.NONE: "No engine comes out",
    }
)
ROUTE_BACK: Mapping[Route, str] = MappingProxyType(
    {
        Route.ENGINE_UP: "Engine from above, to a gearbox that stayed",
        Route.TOGETHER_UP: "Engine and gearbox from above, together",
        Route.SUBFRAME_DOWN: "From below, on its subframe",
        Route.BODY_OFF: "The body is set down on it",
        Route.REAR_DOWN: "From below, at the rear or middle",
        Route.NONE: "No engine goes in",
    }
)
_KINDS: Mapping[UnitKind, str] = MappingProxyType(
    {
        UnitKind.VEHICLE: "vehicle",
        UnitKind.ENGINE: "engine",
        UnitKind.GEARBOX: "gearbox",
        UnitKind.SUBFRAME: "subframe",
    }
)
_PLACES: Mapping[Place | None, str] = MappingProxyType(
    {
        Place.IN: "in the vehicle",
        Place.HANGING: "on the hoist",
        Place.BENCH: "on the stand",
        Place.GONE: "gone",
        None: "two people say different things",
    }
)
_BUTTONS: Mapping[Verb, str] = MappingProxyType(
    {
        Verb.HOOK_UP: "The hook is on",
        Verb.RISE: "{units} out of its place",
        Verb.SET_DOWN: "{units} set down",
        Verb.LEFT: "{units} gone for good",
        Verb.PARTING: "Engine and gearbox parted",
        Verb.MATING: "Engine and gearbox joined",
        Verb.LIFT_IN: "{units} in its place",
        Verb.LANDED: "The mounts carry it, hook off",
        Verb.POWER_ON: "Battery connected",
        Verb.FIRST_START: "It started",
        Verb.MOVED: "It moved by itself",
        Verb.TURN: "{units}: {to}",
    }
)


_BECAUSE: Mapping[str, str] = MappingProxyType(
    {
        "start": "a start was written down",
        "pass": "its check was passed",
        "marks": "what was marked says so",
        "follows": "what came later could not have been without it",
    }
)


def because_text(because: str) -> str:
    """Return why a milestone seems to have been; see `app.core.phases.proposed.Proposal`."""
    return _BECAUSE[because]


def unit_text(unit: Unit) -> str:
    """Return what a unit is called: its name, else what it is."""
    if unit.name:
        return unit.name
    label = {OLD: "old ", NEW: "new "}.get(unit.label, "")
    return f"{label}{_KINDS[unit.kind]}"


def units_text(ids: Iterable[str], units: Units) -> str:
    """Return several units in one phrase, such as `Old engine and gearbox`."""
    order = list(UnitKind)
    known = [unit for unit in units.known if unit.id in set(ids)]
    names = [unit_text(unit) for unit in sorted(known, key=lambda unit: order.index(unit.kind))]
    text = " and ".join(names)
    return text[:1].upper() + text[1:]


def place_text(state: UnitState) -> str:
    """Return where a unit is."""
    hooked = ", the hoist carries it" if state.place is Place.IN and state.on_hook else ""
    trial = ", as a trial fit" if state.trial else ""
    return f"{_PLACES[state.place]}{hooked}{trial}"


def where_texts(phases: Phases) -> tuple[tuple[str, str], ...]:
    """Return for each unit that can leave its name and where it is."""
    found = [(unit_text(unit), place_text(phases.states[unit.id]))
             for unit in phases.units.known if unit.id in phases.states]  # fmt: skip
    return tuple((name[:1].upper() + name[1:], place) for name, place in found)


def engine_line(is_said: bool, where: Iterable[tuple[str, str]]) -> str:
    """Return in one line where the units are, or that somebody has to say what the build is about."""
    if not is_said:
        return "How does the engine come out?"
    return " · ".join(f"{name}: {place}" for name, place in where) or "No engine comes out"


def button_text(offer: Offer, units: Units) -> str:
    """Return what the button of a milestone says."""
    return _said(offer.verb, offer.units, units, offer.to, trial=offer.trial, early=offer.before_record)


def milestone_text(made: Milestone, units: Units) -> str:
    """Return what a milestone that was told says."""
    return _said(made.verb, made.units, units, made.to, trial=made.trial, early=made.before_record)


def _said(verb: Verb, ids: Iterable[str], units: Units, to: str, *, trial: bool, early: bool) -> str:
    direction = "goes together from here on" if to == TOGETHER else "comes apart from here on"
    text = _BUTTONS[verb].format(units=units_text(ids, units), to=direction)
    if early:
        return f"{units_text(ids, units)} was out already"
    return f"{text}, as a trial fit" if trial else text
