"""A zone of the owner's own."""

import pytest

from tests.web.conftest import Garage

ZONES = "SELECT label, level FROM zone WHERE label = 'Trunk'"


@pytest.mark.parametrize(("level", "kept"), [("below", "below"), ("above", "above"), ("sideways", "above")])
def test_a_zone_is_above_unless_it_is_said_to_be_below(garage: Garage, level: str, kept: str) -> None:
    assert garage.owner.post("/b/1/zones", label=" Trunk ", level=level).status_code == 302
    assert garage.rows(ZONES) == [("Trunk", kept)]
    assert "Zone «Trunk» is there." in garage.owner.get("/b/1/steps").text


def test_a_zone_without_a_name_is_not_made(garage: Garage) -> None:
    before = garage.everything()
    garage.owner.post("/b/1/zones", label="  ")
    assert garage.everything() == before
    assert "Give the zone a name." in garage.owner.get("/b/1/steps").text


def test_only_the_owner_makes_zones(garage: Garage) -> None:
    before = garage.everything()
    assert garage.helper.post("/b/1/zones", label="Trunk").status_code == 403
    assert garage.everything() == before
