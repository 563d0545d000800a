import pytest

from app.core.items.items import Connection, Item
from app.core.items.kinds import Kind
from app.core.order.acts import (
    thing_of,
)


@pytest.mark.parametrize(
    ("sort", "name", "current"),
    [
        ("battery cable", "Battery negative", "ground"),
        ("ground strap", "Battery to body ground", "ground"),
        ("ground strap", "Engine to body ground", "electric"),
        ("battery cable", "Battery positive", "electric"),
        ("coolant hose", "Hose under the battery", ""),
    ],
)
def test_the_batterys_ground_is_known_by_its_text(sort: str, name: str, current: str) -> None:
    item = Item("a", 1, Kind.CONNECTION, name, detail=Connection(sort))
    assert thing_of(item).current == current
