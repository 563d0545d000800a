"""The face of a card: which drawing, which plan, and what stands under the name."""

import pytest
from flask import Flask

from app.core.builds.snapshot import ZoneFacts
from app.core.items.items import Connection, Fastener, Item, Part
from app.core.items.kinds import ITEM_KINDS, Kind
from app.web.cards.face_view import drawing_of, small_plan, under_name
from tests.web.conftest import Garage


@pytest.mark.parametrize(
    ("sort", "drawing"),
    [
        ("electrical connector", "connection"),
        ("coolant hose", "hose"),
        ("fuel line", "hose"),
        ("ground strap", "strap"),
        ("", "connection"),
    ],
)
def test_a_connection_has_the_drawing_of_its_sort(sort: str, drawing: str) -> None:
    assert drawing_of(Item("i", 1, Kind.CONNECTION, detail=Connection(type=sort))) == drawing


def test_under_the_name_stand_pieces_thread_and_what_goes_on_it() -> None:
    with Flask("shown").app_context():
        group = Fastener(thread="M8x1.25x30", friction="oiled", threadlock="medium")
        assert under_name(Item("i", 1, Kind.FASTENER, n=4, detail=group)) == (
            "4 pieces · M8x1.25x30 · oiled · medium"
        )
        unknown = Fastener(friction="not known")
        assert under_name(Item("i", 1, Kind.FASTENER, n=1, detail=unknown)) == "1 piece"
        assert under_name(Item("i", 1, Kind.PART, detail=Part())) == ""


def test_the_small_plan_marks_its_zone_and_an_own_zone_has_no_shape() -> None:
    plan = small_plan("longitudinal_v", ZoneFacts("z", "radiator", "above", "Radiator"))
    assert plan.zone.startswith("M")
    assert plan.body
    own = small_plan("longitudinal_v", ZoneFacts("y", "", "below", "Trunk"))
    assert (own.zone, own.label) == ("", "Trunk")


@pytest.mark.parametrize("kind", ITEM_KINDS)
def test_a_thing_without_a_photo_shows_a_drawing_and_one_with_a_photo_shows_that(
    garage: Garage, kind: Kind
) -> None:
    item = garage.item(kind.value, name="Thing")
    page = garage.owner.get(f"/i/{item}").text
    assert 'class="drawn"' in page
    assert 'class="face-photo"' not in page
    assert garage.owner.send(garage.capture(subject=f"item:{item}"), garage.photo()).status_code == 200
    page = garage.owner.get(f"/i/{item}").text
    assert f'<a class="face-photo" href="/i/{item}/photos/1">' in page
    assert 'class="drawn"' not in page
