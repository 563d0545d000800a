"""A torque where it is typed: values to choose from, a reading to confirm, cautions beside it."""

from typing import Any

from tests.web.conftest import Garage
from tests.web.torque.test_wrenches import words

LEAST = "min. 25 N·m"
TWO = "Front 30 N·m, rear 40 N·m"


def write(garage: Garage, item: str, torque: str, **over: Any) -> Any:
    return garage.describe(item, **{"name": "Bolts", "n": "4", "torque": torque, "torque_answer": "", **over})


def bolts(garage: Garage) -> str:
    return garage.item("fastener", name="Bolts", n="4")


def test_a_plain_torque_is_written_without_a_question(garage: Garage) -> None:
    assert write(garage, bolts(garage), "25 N·m").status_code == 302


def test_a_text_for_two_cases_offers_both_and_keeps_both_texts(garage: Garage) -> None:
    item = bolts(garage)
    asked = write(garage, item, TWO)

    assert asked.status_code == 422
    for value in ("Front 30 N·m", "rear 40 N·m"):
        assert f'name="torque_choice" value="{value}"' in asked.text
    assert write(garage, item, TWO, torque_choice="rear 40 N·m", torque_answer="later").status_code == 302
    kept = garage.detail(item)
    assert (kept["torque"], kept["torque_print"]) == ("rear 40 N·m", TWO)
    card = words(garage.owner.get(f"/i/{item}"))
    assert f"printed “{TWO}”" in card
    assert "of this “rear 40 N·m”" in card
    assert "read as 40 N·m" in card


def test_a_value_that_the_print_does_not_hold_is_not_taken_for_one_of_it(garage: Garage) -> None:
    item = bolts(garage)

    assert write(garage, item, TWO, torque_choice="90 N·m").status_code == 422
    assert write(garage, item, "25 N·m", torque_print=TWO).status_code == 302
    assert garage.detail(item)["torque_print"] == ""


def test_a_reading_that_is_more_than_a_plain_value_is_asked_about_before_it_is_written(
    garage: Garage,
) -> None:
    item = bolts(garage)
    asked = write(garage, item, LEAST)

    assert asked.status_code == 422
    assert "It is a least value, not one to aim at." in asked.text
    assert garage.detail(item)["torque"] == ""
    lou = garage.one("SELECT id FROM person WHERE name = 'Lou'")
    seen = {"torque_answer": "compared", "torque_person": lou, "torque_seen": LEAST, "reading_seen": LEAST}
    assert write(garage, item, LEAST, **seen).status_code == 302
    (confirmed,) = garage.state(item)["confirmed"]
    assert (confirmed["reading"], confirmed["person"]) == (LEAST, lou)


def test_an_answer_to_another_text_is_no_answer(garage: Garage) -> None:
    item = bolts(garage)
    seen = {"torque_answer": "compared", "torque_seen": LEAST, "reading_seen": LEAST}

    assert write(garage, item, "min. 26 N·m", **seen).status_code == 422


def test_what_is_left_for_later_is_written_and_stays_on_the_bench_list(garage: Garage) -> None:
    item = bolts(garage)

    assert write(garage, item, LEAST, torque_answer="later").status_code == 302
    assert garage.state(item)["confirmed"] == []
    assert LEAST in words(garage.owner.get("/b/1/torques/readings"))


def test_other_words_of_a_group_ask_nothing_about_its_torque(garage: Garage) -> None:
    item = bolts(garage)
    write(garage, item, LEAST, torque_answer="later")

    assert write(garage, item, LEAST, head="hex").status_code == 302


def test_a_caution_stands_where_the_torque_is_typed_and_is_answered_by_name(garage: Garage) -> None:
    item = bolts(garage)
    given = {"thread": "M6x1", "strength": "8.8"}
    asked = write(garage, item, "88 lb·ft", **given)

    assert asked.status_code == 422
    assert "88 lb·in would be usual" in asked.text
    seen = {"torque_answer": "compared", "torque_seen": "88 lb·ft", "reading_seen": "88 lb·ft"}
    assert write(garage, item, "88 lb·ft", **given, **seen).status_code == 302
    assert "far-above" in {each["caution"] for each in garage.state(item)["acknowledged"]}
    assert "Looked into by" in garage.owner.get(f"/i/{item}").text


def test_a_print_without_a_choice_offers_it_on_the_card_and_in_the_form(garage: Garage) -> None:
    item = bolts(garage)
    write(garage, item, "", torque_print=TWO)

    assert "Choose the one that applies here" in garage.owner.get(f"/i/{item}").text
    assert 'name="torque_choice" value="Front 30 N·m"' in garage.owner.get(f"/i/{item}/describe").text
    write(garage, item, "", torque_print=TWO, torque_choice="Front 30 N·m", torque_answer="later")
    assert (garage.detail(item)["torque"], garage.detail(item)["torque_print"]) == ("Front 30 N·m", TWO)
