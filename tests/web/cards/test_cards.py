"""The card: acts, second looks, destinies, replacements, contradictions."""

import re
from typing import Any

import pytest
from werkzeug.test import TestResponse

from tests.web.conftest import Garage


def line(garage: Garage, item: str, role: str = "owner", **form: Any) -> TestResponse:
    """Send one of the card's forms, in sight of all that is known."""
    state = garage.state(item)
    browser = getattr(garage, role)
    answer: TestResponse = browser.post(f"/i/{item}/line", **{"verb": "mark", "after": state["tips"], **form})
    return answer


def acts(garage: Garage, item: str) -> list[str]:
    return [position["act"] for position in garage.state(item)["positions"]]


def critical(garage: Garage) -> str:
    """Return a critical connection that the owner has put back, waiting for a second look."""
    item = garage.item(name="Ground strap", type="ground strap", critical="y")
    assert line(garage, item, act="routed").status_code == 302
    return item


def test_the_next_act_climbs_the_ladder_until_the_line_is_closed(garage: Garage) -> None:
    item = garage.item(name="Plug", type="electrical connector")
    for act in ("seated", "latched", "routed"):
        assert f'name="act" value="{act}"' in garage.owner.get(f"/i/{item}").text
        line(garage, item, act=act)
        assert acts(garage, item) == [act]
    assert "Closed" in garage.owner.get(f"/i/{item}").text


@pytest.mark.parametrize("destiny", ["left_out", "stays_on_old"])
def test_what_does_not_go_back_needs_a_reason(garage: Garage, destiny: str) -> None:
    item = garage.item("part", name="Heat shield")
    refused = line(garage, item, verb="dispose", destiny=destiny, reason="  ")
    assert refused.status_code == 422
    assert "why it does not go back" in refused.text
    assert f'<option value="{destiny}" selected' in refused.text
    assert garage.state(item)["destiny"]["value"] == "refit"

    line(garage, item, verb="dispose", destiny=destiny, reason="rusted through")
    assert garage.state(item)["destiny"]["value"] == destiny
    page = garage.owner.get("/b/1/put-back").text
    assert "1 does not go back" in page
    assert "rusted through" in page


def test_a_line_is_taken_back_and_that_too(garage: Garage) -> None:
    item = garage.item(name="Plug")
    line(garage, item, act="latched", line_id="a" * 32)
    line(garage, item, verb="undo", line="a" * 32, line_id="b" * 32)
    assert acts(garage, item) == ["off"]
    line(garage, item, verb="undo", line="b" * 32)
    assert acts(garage, item) == ["latched"]


def test_two_marks_that_did_not_see_each_other_stay_open_until_somebody_settles_them(garage: Garage) -> None:
    item = garage.item(name="Plug")
    mine, theirs = garage.mark(item, "routed"), garage.mark(item, "aside")
    garage.owner.send(mine)
    garage.helper.send(theirs)
    assert garage.state(item)["positions"][0]["disagree"] is True
    page = garage.owner.get(f"/i/{item}").text
    assert "disagree" in page
    assert 'name="verb" value="settle"' in page

    line(garage, item, verb="settle", act="routed", reason="looked at it together")
    assert (acts(garage, item), garage.state(item)["positions"][0]["disagree"]) == (["routed"], False)


def test_a_replacement_stands_in_the_old_one_s_place_and_the_old_one_s_fate_is_asked(garage: Garage) -> None:
    old = garage.item("part", name="Water pump")
    answer = garage.owner.post(f"/i/{old}/replace", name="New water pump")
    new = answer.headers["Location"].removeprefix("/i/")

    assert garage.rows("SELECT from_item, rel, to_item FROM edge") == [(new, "replaces", old)]
    assert garage.state(old)["destiny"]["value"] == "replaced"
    rows = garage.owner.get("/b/1/put-back").text
    assert f'data-row="{new}"' in rows
    assert f'data-row="{old}"' not in rows
    assert "what becomes of the old one" in garage.owner.get(f"/i/{old}").text
    line(garage, old, verb="fate", fate="pattern")
    assert f"/i/{old}" not in garage.owner.get("/b/1/ledger").text


def test_a_replacement_without_a_name_is_refused(garage: Garage) -> None:
    item = garage.item("part")
    before = garage.everything()
    assert garage.owner.post(f"/i/{item}/replace", name="  ").status_code == 422
    assert garage.everything() == before


def test_a_value_reached_that_is_no_torque_is_refused_and_kept_on_the_page(garage: Garage) -> None:
    item = garage.item("fastener", name="Bolt", n="1", torque="25 N·m")
    answer = line(garage, item, act="tight", reached="quite tight", reached_unit="N·m")
    assert answer.status_code == 422
    assert 'value="quite tight"' in answer.text
    assert acts(garage, item) == ["off"]


def test_a_value_reached_closes_a_group_without_a_printed_figure_and_so_does_by_feel(garage: Garage) -> None:
    for form, stored in (
        ({"reached": "24.5", "reached_unit": "N·m"}, "24.5 N·m"),
        ({"by_feel": "1"}, "by feel"),
    ):
        item = garage.item("fastener", name="Bolt", n="1", no_figure="y")
        line(garage, item, act="tight")
        assert "no figure" in garage.owner.get(f"/i/{item}").text
        line(garage, item, act="tight", **form)
        assert garage.state(item)["positions"][0]["reached"] == stored
        assert "Closed" in garage.owner.get(f"/i/{item}").text


def test_a_group_is_not_tight_without_a_value_or_by_feel(garage: Garage) -> None:
    item = garage.item("fastener", name="Bolts", n="1", torque="25 N·m")
    for wrong in ("", "abc", "-4"):
        answer = line(garage, item, act="tight", reached=wrong, reached_unit="N·m")
        assert answer.status_code == 422
    assert acts(garage, item) == ["off"]


def test_a_value_far_from_what_is_printed_is_kept_and_keeps_the_line_open(garage: Garage) -> None:
    item = garage.item("fastener", name="Bolts", n="1", torque="25 N·m")
    line(garage, item, act="tight", reached="2500", reached_unit="N·m")
    assert "does not fit what is printed" in garage.owner.get(f"/i/{item}").text
    line(garage, item, act="tight", reached="25.5", reached_unit="N·m")
    assert "Closed" in garage.owner.get(f"/i/{item}").text


def test_an_act_on_part_of_a_group_names_its_positions(garage: Garage) -> None:
    item = garage.item("fastener", name="Bolts", n="4", torque="25 N·m")
    line(garage, item, act="tight", has_pos="1", pos=["1", "3"])
    assert acts(garage, item) == ["tight", "off", "tight", "off"]
    assert line(garage, item, act="tight", has_pos="1").status_code == 422
    for wrong in ("0", "1000", "9" * 5000, "x"):
        line(garage, item, act="tight", has_pos="1", pos=[wrong])
    assert acts(garage, item) == ["tight", "off", "tight", "off"]


def test_pieces_are_counted_by_position(garage: Garage) -> None:
    item = garage.item("fastener", name="Bolts", n="2", torque="25 N·m", one_time="yes")
    line(garage, item, act="tight")
    assert "used once only" in garage.owner.get(f"/i/{item}").text
    line(garage, item, verb="count", piece="renewed", has_pos="1", pos="1")
    line(garage, item, verb="count", piece="lost", has_pos="1", pos="2")
    page = garage.owner.get(f"/i/{item}").text
    assert "a piece is lost" in page
    assert "2 out: 0 fitted, 1 renewed, 0 spare, 1 lost" in page


@pytest.mark.parametrize(
    "form",
    [
        {"act": "filled"},
        {"act": "x"},
        {"act": ""},
        {"verb": "dispose", "destiny": "eaten", "act": ""},
        {"verb": "undo", "line": "x", "act": ""},
        {"line_id": "short"},
        {"after": "x"},
    ],
)
def test_a_form_that_says_nothing_of_sense_writes_nothing_and_says_so(
    garage: Garage, form: dict[str, str]
) -> None:
    item = garage.item(name="Plug")
    before = garage.everything()
    line(garage, item, **{"act": "seated", **form})
    assert garage.everything() == before
    assert "flash-problem" in garage.owner.get(f"/i/{item}").text


@pytest.mark.parametrize("form", [{"verb": "give"}, {"verb": "dispose", "destiny": "refit"}, {"heat": "40"}])
def test_a_form_that_no_release_has_is_kept_for_the_owner(garage: Garage, form: dict[str, str]) -> None:
    item = garage.item(name="Plug")
    before = garage.state(item)

    line(garage, item, **{"act": "seated", **form})

    assert garage.state(item) == before
    assert "kept for the owner" in garage.owner.get(f"/i/{item}").text
    assert "the program does not know its form" in garage.owner.get("/b/1/crew").text


def test_the_same_form_sent_twice_is_one_line(garage: Garage) -> None:
    item = garage.item(name="Plug")
    tips = garage.state(item)["tips"]
    for _ in range(2):
        garage.owner.post(f"/i/{item}/line", verb="mark", act="seated", line_id="a" * 32, after=tips)
    assert "flash-problem" not in garage.owner.get(f"/i/{item}").text
    assert garage.one("SELECT count(*) FROM journal WHERE verb = 'mark'") == 1


def test_at_the_second_look_the_doer_cannot_be_chosen_and_others_can(garage: Garage) -> None:
    item = critical(garage)
    for browser in (garage.owner, garage.helper):
        page = browser.get(f"/i/{item}").text
        buttons = {
            name: tag
            for tag, name in re.findall(
                r'(<input class="tile-input" type="radio" name="person"[^>]*>)<span class="tile-face">(\w+)',
                page,
            )
        }
        doer = buttons.pop("Olive")
        assert "disabled" in doer
        assert "checked" not in doer.partition("value=")[2]
        assert buttons.keys() == {"Hank"}
        assert not any("disabled" in button for button in buttons.values())


def test_before_the_second_look_the_phones_own_person_is_chosen(garage: Garage) -> None:
    item = garage.item(name="Plug", type="electrical connector")

    page = garage.owner.get(f"/i/{item}").text

    assert re.search(r'name="person"[^>]* checked><span class="tile-face">Olive<', page)
    assert not re.search(r'name="person"[^>]* disabled', page)


@pytest.mark.parametrize(
    ("kind", "words", "said"),
    [
        ("connection", {"type": "coolant hose"}, "no zone yet · coolant hose"),
        ("fastener", {"n": "4", "thread": "M8x1.25"}, "no zone yet · 4 pieces · M8x1.25"),
    ],
)
def test_under_its_title_a_card_has_zone_pieces_thread_and_type(
    garage: Garage, kind: str, words: dict[str, str], said: str
) -> None:
    item = garage.item(kind, name="Thing", **words)
    found = re.search(r"no zone yet[^<>]*", garage.owner.get(f"/i/{item}").text)
    assert found
    assert found[0].strip() == said
