"""A build whose ledger has some lines, as gates see it."""

from typing import Any

from app.core.gates.facts import BuildFacts
from app.core.items.journal import Line
from app.core.items.roles import Role
from app.core.phases.barriers import barriers
from app.core.phases.phases import fold_phases
from app.core.phases.routes import Route
from app.core.phases.sides import Sides
from app.core.phases.units import usual_units
from tests.core.ledger.standing import Stands


def facts(*lines: Stands, route: Route = Route.NONE, **over: Any) -> BuildFacts[Stands]:
    items = {line.item.id: line.item for line in lines}
    sides = Sides(usual_units(), route, route, items, roles={"prime": Role.PRIME})
    return BuildFacts(lines, fold_phases(sides.units, []), sides, barriers(items.values(), sides, {}), **over)


def tell(
    line_id: str, verb: str, body: dict[str, object], *, after: str = "", person: str = "Ada", seq: int = 0
) -> Line:
    """A line about a gate."""
    return Line(
        line_id, "gate:1", verb, body, frozenset(after.split()), person, "", seq, "2031-05-04T09:30:00Z"
    )
