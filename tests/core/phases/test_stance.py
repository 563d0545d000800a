import pytest

from app.core.items.kinds import Act, Kind
from app.core.phases.phases import fold_phases
from app.core.phases.stance import stance_of
from app.core.phases.units import usual_units
from tests.core.ledger.standing import item, stands
from tests.core.phases.told import row

FRAME = usual_units(subframe=True)


def stance(name: str, *acts: Act, said: tuple[str, ...] = ()) -> tuple[bool, bool, bool]:
    line = stands(item(Kind.FASTENER, name=name), *acts)
    found = stance_of(fold_phases(FRAME, row(*said)), [(line.item, line.state)])
    return not found.stands, not found.rolls, not found.steers


@pytest.mark.parametrize(
    ("name", "can"),
    [
        ("Axle nut left", (False, False, True)),
        ("Steering coupler bolt", (True, True, False)),
        ("Propshaft bolts", (True, False, True)),
        ("Valve cover bolts", (True, True, True)),
    ],
)
def test_what_is_out_takes_away_what_the_vehicle_needs_it_for(
    name: str, can: tuple[bool, bool, bool]
) -> None:
    assert stance(name, Act.OFF) == can
    assert stance(name, Act.OFF, Act.HAND_TIGHT) == can
    assert stance(name) == (True, True, True)
    assert stance(name, Act.OFF, Act.TIGHT) == (True, True, True)
    assert stance(name, Act.UNUSED) == (True, True, True)


def test_a_subframe_that_is_out_carries_no_wheels_and_no_height_on_them_is_possible() -> None:
    assert stance("x", said=("rise engine gearbox subframe",)) == (False, False, False)
    phases = fold_phases(FRAME, row("rise engine gearbox subframe"))
    assert stance_of(phases, []).impossible_heights == {"wheels", "ground"}
    assert stance_of(fold_phases(FRAME, []), []).impossible_heights == set()
