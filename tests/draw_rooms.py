"""The picture of the rooms, drawn from the imports: `python -m tests.draw_rooms` writes `tests/rooms.svg`.

Inside a room every package stands above those that it imports; a line that follows from others is left out.
A test draws it again and compares, so that it cannot lie.
"""

import ast
from collections.abc import Iterator
from html import escape
from pathlib import Path

import networkx as nx

ROOT = Path(__file__).parents[1]
PICTURE = ROOT / "tests" / "rooms.svg"
ROOMS = ("web", "paper", "vision", "store", "core")
"""From the top of the picture to its bottom; paper and vision share a row with the store's top."""

_BOX = (126, 30)
_GAP = (14, 34)
_PAD = 18
_WIDE = 1180


def draw() -> str:
    """Return the picture as SVG."""
    graph = package_graph()
    reduced = nx.transitive_reduction(graph)
    parts: list[str] = []
    at: dict[str, tuple[float, float]] = {}
    top = float(_PAD)
    for rooms in (("web",), ("paper", "vision"), ("store",), ("core",)):
        left, heights = float(_PAD), []
        for room in rooms:
            rows = layers(graph, room)
            share = _WIDE / len(rooms) - _PAD
            heights.append(_place(rows, left, top + 26, share, at))
            parts.append(_room(room, left, top, share, heights[-1] + 40))
            left += share + _PAD
        top += max(heights) + 40 + _GAP[1]
    lines = [_line(at[a], at[b]) for a, b in sorted(reduced.edges) if _room_of(a) == _room_of(b)]
    boxes = [_package(name, where) for name, where in sorted(at.items())]
    downward = [_note(graph)]
    body = "\n".join([*parts, *lines, *boxes, *downward])
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE + _PAD} {top + 20:.0f}" '
        'font-family="system-ui, sans-serif" font-size="13">\n'
        f'<rect width="100%" height="100%" fill="#fffdf6"/>\n{body}\n</svg>\n'
    )


def package_graph() -> nx.DiGraph:
    """Return which package imports which; a module that stands alone in its room is a package here."""
    graph: nx.DiGraph = nx.DiGraph()
    for path in modules():
        graph.add_node(package_of(path))
        for name in imports_of(path):
            found = _package_named(name)
            if found and found != package_of(path):
                graph.add_edge(package_of(path), found)
    return graph


def modules() -> Iterator[Path]:
    """Give every module of the rooms that has code."""
    for room in ROOMS:
        yield from (p for p in sorted((ROOT / "app" / room).rglob("*.py")) if p.name != "__init__.py")


def package_of(path: Path) -> str:
    """Return the package of a module, such as `core/torque`."""
    room, name = path.relative_to(ROOT / "app").parts[:2]
    return f"{room}/{name.removesuffix('.py')}"


def imports_of(path: Path) -> Iterator[str]:
    """Give the names that a module imports."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def _package_named(name: str) -> str | None:
    parts = name.split(".")
    if parts[0] != "app" or len(parts) < 3:
        return None
    return f"{parts[1]}/{parts[2]}"


def layers(graph: nx.DiGraph, room: str) -> list[list[str]]:
    """Return the packages of a room in rows, the base in the last one."""
    own = graph.subgraph([name for name in graph if _room_of(name) == room])
    depth: dict[str, int] = {}
    for name in reversed(list(nx.lexicographical_topological_sort(own))):
        depth[name] = max((depth[below] + 1 for below in own.successors(name)), default=0)
    rows = [sorted(n for n in own if depth[n] == d) for d in range(max(depth.values()), -1, -1)]
    fits = int((_WIDE - 2 * _PAD) // (_BOX[0] + _GAP[0]))
    return [row[i : i + fits] for row in rows for i in range(0, len(row), fits)]


def _place(
    rows: list[list[str]], left: float, top: float, width: float, at: dict[str, tuple[float, float]]
) -> float:
    for nth, row in enumerate(rows):
        used = len(row) * _BOX[0] + (len(row) - 1) * _GAP[0]
        for i, name in enumerate(row):
            x = left + (width - used) / 2 + i * (_BOX[0] + _GAP[0])
            at[name] = (x, top + nth * (_BOX[1] + _GAP[1]))
    return len(rows) * _BOX[1] + (len(rows) - 1) * _GAP[1]


def _room(name: str, x: float, y: float, width: float, height: float) -> str:
    return (
        f'<rect x="{x:.0f}" y="{y:.0f}" width="{width:.0f}" height="{height:.0f}" rx="8" fill="#f3e8cf" '
        f'stroke="#8a7a55"/><text x="{x + 10:.0f}" y="{y + 18:.0f}" font-weight="700">app/{name}</text>'
    )


def _package(name: str, where: tuple[float, float]) -> str:
    x, y = where
    label = escape(name.partition("/")[2])
    size = f'width="{_BOX[0]}" height="{_BOX[1]}" rx="5"'
    box = f'<rect x="{x:.0f}" y="{y:.0f}" {size} fill="#fff" stroke="#333"/>'
    return f'{box}<text x="{x + _BOX[0] / 2:.0f}" y="{y + 20:.0f}" text-anchor="middle">{label}</text>'


def _line(above: tuple[float, float], below: tuple[float, float]) -> str:
    x1, y1, x2, y2 = above[0] + _BOX[0] / 2, above[1] + _BOX[1], below[0] + _BOX[0] / 2, below[1]
    return f'<path d="M{x1:.0f} {y1:.0f} L{x2:.0f} {y2:.0f}" stroke="#8a7a55" fill="none"/>'


def _note(graph: nx.DiGraph) -> str:
    """Say between which rooms imports go."""
    pairs = sorted({(_room_of(a), _room_of(b)) for a, b in graph.edges if _room_of(a) != _room_of(b)})
    said = ", ".join(f"{a} → {b}" for a, b in pairs)
    return f'<text x="{_PAD}" y="98%" font-size="12">Between rooms: {said}</text>'


def _room_of(name: str) -> str:
    return name.partition("/")[0]


if __name__ == "__main__":
    PICTURE.write_text(draw(), encoding="utf-8")
