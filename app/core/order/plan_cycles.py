"""Whether what a plan states goes round in a circle, whatever becomes of its things."""

from dataclasses import replace

from app.core.cycles import CycleError
from app.core.items.items import BLOCKING
from app.core.order.acts import Plan
from app.core.order.graph_builder import build_graph
from app.core.order.sorting import cycle_among


def cycle_in(plan: Plan) -> tuple[str, ...]:
    """Return ids of items and steps that would wait for each other, first and last the same; empty if none.

    Every item counts, whatever has become of it, so that no later decision closes a cycle.
    """
    if itself := next((e.frm for e in plan.edges if e.frm == e.to and e.rel in BLOCKING), ""):
        return (itself, itself)
    replacing = tuple(edge for edge in plan.edges if edge.rel == "replaces")
    if cycle := cycle_among(replacing):
        return cycle
    everything = replace(plan, things=tuple(replace(thing, goes_back=True) for thing in plan.things))
    before = replace(everything, edges=tuple(edge for edge in plan.edges if edge.rel != "replaces"))
    try:
        build_graph(everything)
        if replacing:
            build_graph(before)
    except CycleError as error:
        return error.members
    return ()
