"""What gives way where acts would wait for each other: defaults first, then what only a step tells."""

from collections.abc import Collection, Mapping, Sequence
from collections.abc import Set as AbstractSet

from app.core.cycles import find_cycle
from app.core.order.acts import Node
from app.core.order.components import strongly_connected_components


def drop_defaults(before: list[dict[int, str]], defaults: AbstractSet[int], left: set[int]) -> None:
    """Take out what leads from a component into the defaults that are part of it."""
    for component in strongly_connected_components(before, left):
        for i in component & defaults:
            before[i] = dict.fromkeys((other for other in before[i] if other not in component), "")


def drop_soft(
    before: Sequence[dict[int, str]], soft: Mapping[tuple[int, int], str], left: set[int]
) -> tuple[str, ...]:
    """Let what is stated overrule on which side of a milestone a thing only seems to belong.

    Returns:
        The ids of the things whose bounds were taken out.
    """
    yielded: dict[str, None] = {}
    for component in strongly_connected_components(before, left):
        for i in component:
            for other in [each for each in before[i] if (i, each) in soft and each in component]:
                yielded[soft[i, other]] = None
                del before[i][other]
    return tuple(yielded)


def cycle_of(nodes: Sequence[Node], before: Sequence[Collection[int]], left: set[int]) -> tuple[str, ...]:
    """Return a cycle as ids, first and last the same."""
    found = find_cycle({nodes[i]: [nodes[other] for other in before[i]] for i in sorted(left)})
    ids = [node.of for node in found]
    members = [own for nth, own in enumerate(ids) if not nth or own != ids[nth - 1]]
    return tuple(members if len(members) > 1 and members[0] == members[-1] else [*members, members[0]])
