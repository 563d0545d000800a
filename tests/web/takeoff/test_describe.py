"""Describing on the bench: what is wrong is said beside it, and nothing typed is lost."""

import pytest

from app.core.problem import STALE
from tests.web.conftest import Garage


def test_a_torque_without_a_unit_is_refused_with_the_units_offered_and_all_kept(garage: Garage) -> None:
    item = garage.item("fastener")
    before = garage.everything()
    answer = garage.describe(
        item, name="Mount bolts", n="4", thread="M10x1.5x40", torque="25", note="long ones"
    )

    assert answer.status_code == 422
    for unit in ("N·m", "lb·ft", "lb·in", "kgf·m"):
        assert unit in answer.text.partition('class="problems"')[2].partition("</div>")[0]
    for kept in ("Mount bolts", 'value="4"', "M10x1.5x40", 'value="25"', "long ones"):
        assert kept in answer.text
    assert garage.everything() == before


def test_what_was_typed_is_stored(garage: Garage) -> None:
    item = garage.item("fastener", name=" Mount bolts ", n="4", thread="M10x1.5x40", torque="20 N·m + 90°")
    assert garage.rows("SELECT name, n FROM item") == [("Mount bolts", 4)]
    detail = garage.detail(item)
    assert (detail["thread"], detail["torque"]) == ("M10x1.5x40", "20 N·m + 90°")
    assert "Mount bolts" in garage.owner.get(f"/i/{item}/describe").text


def test_a_circle_is_refused_with_its_members_named_and_nothing_of_the_form_written(garage: Garage) -> None:
    first = garage.item("part", name="Bracket")
    second = garage.item("part", name="Pump", holds="#1")
    before = garage.everything()
    answer = garage.describe(first, name="Other bracket", holds="#2")

    assert answer.status_code == 422
    assert "circle" in answer.text
    assert "#1 Bracket" in answer.text or "#1 Other bracket" in answer.text
    assert "#2 Pump" in answer.text
    assert 'value="Other bracket"' in answer.text
    assert garage.everything() == before
    assert garage.rows("SELECT from_item, to_item FROM edge") == [(second, first)]


def test_words_written_over_a_newer_version_are_refused_once_and_kept(garage: Garage) -> None:
    item = garage.item("part", name="Their words")
    before = garage.everything()
    answer = garage.describe(item, name="My words", rev="1")

    assert answer.status_code == 409
    assert STALE.message in answer.text
    assert 'value="My words"' in answer.text
    assert garage.everything() == before
    fresh = answer.text.partition('name="rev" value="')[2].partition('"')[0]
    assert garage.describe(item, name="My words", rev=fresh).status_code == 302
    assert garage.one("SELECT name FROM item") == "My words"


@pytest.mark.parametrize("rev", ["", "x", "-1", "9" * 5000])
def test_a_form_without_a_readable_version_overwrites_nothing(garage: Garage, rev: str) -> None:
    item = garage.item("part", name="Their words")
    assert garage.describe(item, name="Mine", rev=rev).status_code == 409
    assert garage.one("SELECT name FROM item") == "Their words"


@pytest.mark.parametrize("kind", ["fastener", "part", "locator", "temporary", "fluid", "finding"])
def test_an_item_with_a_past_can_change_its_kind_and_every_page_still_opens(
    garage: Garage, kind: str
) -> None:
    item = garage.item(name="Thing")
    garage.owner.post(f"/i/{item}/line", verb="mark", act="latched")
    garage.owner.post(f"/i/{item}/line", verb="mark", act="aside")
    assert garage.describe(item, kind=kind, name="Thing").status_code == 302
    for address in (
        f"/i/{item}",
        f"/i/{item}/describe",
        "/b/1/put-back",
        "/b/1/ledger?all",
        "/b/1/status",
        "/b/1/bay",
    ):
        assert garage.owner.get(address).status_code == 200, address


def test_keeping_goes_on_to_the_next_that_lacks_words_and_then_to_the_list(garage: Garage) -> None:
    first, second, third = (garage.item("part") for _ in range(3))
    assert garage.describe(first, name="A", what="next").headers["Location"] == f"/i/{second}/describe"
    assert garage.describe(second, name="B", what="next").headers["Location"] == f"/i/{third}/describe"
    assert garage.describe(third, name="C", what="next").headers["Location"] == "/b/1/describe"


def test_a_new_shelf_place_is_made_once_and_the_item_lies_in_it(garage: Garage) -> None:
    first, second = (garage.item("part", name=name, place="bag 12") for name in ("A", "B"))
    assert garage.rows("SELECT name FROM place") == [("bag 12",)]
    places = {garage.state(item)["place"]["value"] for item in (first, second)}
    assert places == {garage.one("SELECT id FROM place")}
    assert "bag 12" in garage.owner.get(f"/i/{first}").text


def test_a_destiny_is_asked_of_parts_alone_and_no_other_form_changes_it(garage: Garage) -> None:
    part, bolt = garage.item("part", destiny="transfer"), garage.item("fastener")
    garage.owner.post(f"/i/{bolt}/line", verb="dispose", destiny="left_out", reason="not needed")
    assert garage.describe(bolt, name="Bolt").status_code == 302
    assert garage.describe(part, name="Pump").status_code == 302
    assert garage.state(bolt)["destiny"]["value"] == "left_out"
    assert garage.state(part)["destiny"]["value"] == "transfer"


def test_a_step_on_the_way_back_has_a_card_but_no_words_to_describe(busy: Garage) -> None:
    step = busy.one("SELECT id FROM step WHERE direction = 'on_only'")
    assert busy.owner.get(f"/i/{step}").status_code == 200
    assert busy.owner.get(f"/i/{step}/describe").status_code == 404
    assert busy.owner.post(f"/i/{step}/describe", rev="1", kind="part", name="x").status_code == 404
    assert busy.owner.post(f"/i/{step}/replace", name="x").status_code in {404, 422}


def test_the_list_tells_things_without_words_apart_by_tag_and_zone(garage: Garage) -> None:
    code = garage.blank()
    garage.item("fastener")
    page = garage.owner.get("/b/1/describe").text
    assert f"{code[:3]}-{code[3:]} · " in page
    assert "lacks: name, " in page
    assert "1 lacks words" in page


def test_a_page_that_was_open_during_the_upgrade_keeps_what_locks_the_thread(garage: Garage) -> None:
    item = garage.item("fastener", name="Bolts", threadlock="medium")
    assert '"threadlock": "medium"' in garage.one("SELECT detail FROM item WHERE id = ?", item)

    garage.describe(item, seal="high")
    assert '"threadlock": "high"' in garage.one("SELECT detail FROM item WHERE id = ?", item)


def test_what_a_gasket_seals_and_a_cap_closes_is_typed_shown_and_cleared(garage: Garage) -> None:
    cover, pipe = garage.item("part", name="Cover"), garage.item("part", name="Pipe")
    gasket = garage.item("part", name="Gasket", seals="#1")
    cap = garage.item("temporary", name="Cap", closes="2")
    edges = "SELECT from_item, rel, to_item FROM edge ORDER BY rel DESC"
    assert garage.rows(edges) == [(gasket, "seals", cover), (cap, "closes", pipe)]
    assert 'name="seals" type="text" value="#1"' in garage.owner.get(f"/i/{gasket}/describe").text
    assert garage.describe(cap, name="Cap", closes="#4").status_code == 422
    assert garage.describe(cap, name="Cap", closes="").status_code == 302
    assert garage.rows(edges) == [(gasket, "seals", cover)]


def test_a_page_that_does_not_ask_for_a_relation_or_the_system_leaves_them(garage: Garage) -> None:
    garage.item("part", name="Cover")
    gasket = garage.item("part", name="Gasket", seals="#1", system="coolant")
    assert garage.describe(gasket, name="Gasket, rear").status_code == 302
    assert garage.rows("SELECT rel FROM edge") == [("seals",)]
    assert garage.rows("SELECT name, system FROM item WHERE id = ?", gasket) == [("Gasket, rear", "coolant")]


def test_the_system_of_a_hose_is_typed_shown_and_cleared(garage: Garage) -> None:
    hose = garage.item("connection", name="Hose", system=" coolant ")
    assert garage.rows("SELECT system FROM item") == [("coolant",)]
    assert 'value="coolant"' in garage.owner.get(f"/i/{hose}/describe").text
    assert garage.describe(hose, name="Hose", system="").status_code == 302
    assert garage.rows("SELECT system FROM item") == [("",)]


def test_nobody_said_whose_it_is_is_offered_first(garage: Garage) -> None:
    hose = garage.item("connection", name="Hose", owner="")
    page = garage.owner.get(f"/i/{hose}/describe").text
    assert '<option selected value="">not said</option>' in page
    assert '<option value="" selected>not said</option>' in page
    assert '<option value="gearbox"' in page
    assert '<option value="subframe"' in page
    assert garage.rows("SELECT owner FROM item") == [("",)]
