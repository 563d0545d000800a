"""Plans, written short or by chance, and what is read off their graphs."""

from hypothesis import strategies as st

from app.core.items.items import Edge
from app.core.items.kinds import Kind
from app.core.order.acts import (
    INSTALL_EXCEPTIONS,
    InstallException,
    Plan,
    PlanStep,
    StepEdge,
    Thing,
)
from app.core.order.graph import ACTS, Graph

NAMES = "abcdefgh"
STEPS = ("S", "T", "U")


def things(names: str, **changed: Thing) -> tuple[Thing, ...]:
    """Parts that came off one after another."""
    return tuple(changed.get(name, Thing(name, off_seq=i + 1)) for i, name in enumerate(names))


def bolts(name: str, off_seq: int, step: str = "") -> Thing:
    return Thing(name, Kind.FASTENER, step, off_seq, finishes=True)


def edges(*said: str) -> tuple[Edge, ...]:
    """Edges from "a holds b"."""
    return tuple(Edge(*each.split()) for each in said)


def acts(graph: Graph) -> list[str]:
    nodes = [graph.nodes[i] for i in graph.order]
    return [f"{p.of}:{p.what}{p.nth if p.nth > 1 else ''}" for p in nodes if p.what in ACTS]


def items(graph: Graph) -> str:
    return "".join(dict.fromkeys(act.partition(":")[0] for act in acts(graph)))


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """Any plan of eight things in three steps: its edges may go round in a circle."""
    names = draw(st.permutations(NAMES))[: draw(st.integers(1, len(NAMES)))]
    kinds = st.sampled_from([Kind.PART, Kind.FASTENER, Kind.CONNECTION])
    made = []
    for i, name in enumerate(names):
        kind = draw(kinds)
        step = draw(st.sampled_from(["", *STEPS]))
        current = draw(st.sampled_from(["", "", "electric", "ground"]))
        made.append(
            Thing(
                name,
                kind,
                step,
                i + 1,
                draw(st.integers(0, 4)) > 0,
                kind is not Kind.PART,
                draw(st.booleans()),
                current,
            )
        )
    directions = [draw(st.sampled_from(["both", "on_only", "off_only"])) for _ in STEPS]
    steps = [PlanStep(step, i, way) for i, (step, way) in enumerate(zip(STEPS, directions, strict=True))]
    made += [Thing(step.id, Kind.STEP, step.id) for step in steps if step.direction == "on_only"]
    pair = st.tuples(st.sampled_from(names), st.sampled_from(names)).filter(lambda two: two[0] < two[1])
    rels = st.sampled_from(["holds", "joins", "covers", "replaces", "pairs"])
    said = draw(st.lists(st.tuples(pair, rels), max_size=8)) if len(names) > 1 else []
    step_pairs = draw(st.lists(st.tuples(st.sampled_from(STEPS), st.sampled_from(STEPS)), max_size=2))
    install_exceptions = draw(
        st.dictionaries(st.sampled_from(names), st.sampled_from(INSTALL_EXCEPTIONS), max_size=2)
    )
    return Plan(
        tuple(made),
        tuple(steps),
        tuple(Edge(frm, rel, to) for (frm, to), rel in said),
        tuple(StepEdge(a, b, "why") for a, b in step_pairs if a != b),
        tuple(
            InstallException(name, draw(st.sampled_from(STEPS)), what)
            for name, what in install_exceptions.items()
        ),
    )
