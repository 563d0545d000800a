import pytest

from app.core.ids import is_id
from app.store.db.clock import new_id


def test_a_new_id_is_an_id() -> None:
    assert is_id(new_id())


@pytest.mark.parametrize(
    "value",
    ["", "a" * 31, "a" * 33, "g" * 32, "A" * 32, "/" * 32, "é" * 32, "a" * 32 + "\n", None, 7, ["a" * 32]],
)
def test_anything_else_is_none(value: object) -> None:
    assert not is_id(value)
