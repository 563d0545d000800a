"""Who stands where on the way back: the replaced ones gone, their edges taken over."""

from collections import defaultdict
from collections.abc import Iterable

from app.core.items.items import BLOCKING
from app.core.order.acts import Plan

Tie = tuple[str, str, str]


class Replacements:
    """Who stands for whom; replacements go n to m.

    Args:
        plan: Its things and edges.
    """

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.back = {thing.id for thing in plan.things if thing.goes_back}
        self.news: dict[str, list[str]] = defaultdict(list)
        olds: dict[str, list[str]] = defaultdict(list)
        for edge in plan.edges:
            if edge.rel == "replaces":
                self.news[edge.to].append(edge.frm)
                olds[edge.frm].append(edge.to)
        self.replaced: set[str] = set()
        ahead = [old for new, own in olds.items() if new in self.back for old in own]
        while ahead:
            old = ahead.pop()
            if old not in self.replaced:
                self.replaced.add(old)
                ahead += olds.get(old, ())
        self.own = {edge.frm for edge in plan.edges if edge.rel in BLOCKING}

    def is_back(self, item: str) -> bool:
        """Tell whether it is put back itself, and nothing in its stead."""
        return item in self.back and item not in self.replaced

    def of(self, item: str, *, without_own: bool = False) -> list[str]:
        """Return what stands for an item now; on demand only those without edges of their own."""
        if item not in self.news:
            return [item] if item in self.back else []
        found: list[str] = []
        ahead, seen = [item], {item}
        while ahead:
            here = ahead.pop()
            if self.is_back(here):
                found.append(here)
            for new in self.news.get(here, ()):
                if new not in seen and not (without_own and new in self.own):
                    seen.add(new)
                    ahead.append(new)
        return found

    def edges(self) -> Iterable[Tie]:
        """Give what holds, joins and covers among what is put back, each once."""
        given: set[Tie] = set()
        for edge in self.plan.edges:
            if edge.rel not in BLOCKING:
                continue
            for frm in self.of(edge.frm, without_own=True):
                for to in self.of(edge.to):
                    tie = (frm, edge.rel, to)
                    if frm != to and tie not in given:
                        given.add(tie)
                        yield tie
