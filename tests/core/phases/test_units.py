import pytest

from app.core.phases.units import VEHICLE, Unit, UnitKind, Units
from tests.core.phases.told import SWAP


def test_units_have_ids_of_their_own_and_one_is_the_vehicle() -> None:
    for known in ((VEHICLE, VEHICLE), (Unit("e", UnitKind.ENGINE),)):
        with pytest.raises(ValueError, match="vehicle"):
            Units(known)


@pytest.mark.parametrize(
    ("owner", "out", "back"),
    [
        ("old engine", "old", "new"),
        ("new engine", "new", "new"),
        ("vehicle", "vehicle", "vehicle"),
        ("gearbox", "gearbox", "gearbox"),
        ("old", "old", "new"),
        ("part", "", ""),
        ("", "", ""),
        ("subframe", "", ""),
    ],
)
def test_an_owners_word_names_a_unit_and_the_old_engines_things_are_the_new_ones_on_the_way_back(
    owner: str, out: str, back: str
) -> None:
    assert SWAP.of_owner(owner) == out
    assert SWAP.of_owner(owner, back=True) == back
