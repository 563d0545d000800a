from dataclasses import asdict, replace
from typing import Any

import pytest

from app.core.items.items import (
    DETAIL,
    Connection,
    Detail,
    End,
    Fastener,
    Finding,
    Fluid,
    Item,
    Locator,
    Part,
    Temporary,
    critical_after,
    critical_by_default,
    lacks_words,
    read_detail,
)
from app.core.items.kinds import CRITICAL_TYPES, ITEM_KINDS, Kind
from app.core.threads.preload import Friction

THREE = Connection("coolant hose", "clamp", (End("A", "head"), End("B", "pump", "new engine"), End("C")))


@pytest.mark.parametrize("kind", ITEM_KINDS)
def test_a_detail_is_read_as_it_was_stored(kind: Kind) -> None:
    assert read_detail(kind, asdict(DETAIL[kind]())) == DETAIL[kind]()


def test_a_connection_with_three_ends_is_read_as_it_was_stored() -> None:
    assert read_detail(Kind.CONNECTION, asdict(THREE)) == THREE


def test_what_a_newer_program_stored_beside_is_passed_over_and_what_it_lacks_has_its_default() -> None:
    assert read_detail(Kind.FLUID, {"system": "coolant", "colour": "green"}) == Fluid("coolant")


def test_a_connection_has_a_joint_less_than_ends() -> None:
    assert Item("1", 1, Kind.CONNECTION, detail=THREE).positions == 2
    assert Item("1", 1, Kind.CONNECTION, detail=Connection(ends=(End("A"),))).positions == 1
    assert Item("1", 1, Kind.CONNECTION).positions == 1


def test_a_group_has_a_position_a_piece_and_one_until_it_is_counted() -> None:
    assert Item("1", 1, Kind.FASTENER, n=9, detail=Fastener()).positions == 9
    assert Item("1", 1, Kind.FASTENER, detail=Fastener()).positions == 1


@pytest.mark.parametrize("item_type", sorted(CRITICAL_TYPES))
def test_what_can_hurt_gets_a_second_look_by_default(item_type: str) -> None:
    assert critical_by_default(Kind.CONNECTION, item_type)
    assert not critical_by_default(Kind.CONNECTION, "vacuum line")


def test_a_bare_capture_lacks_its_text() -> None:
    assert lacks_words(Item("1", 1, Kind.CONNECTION)) == ("name", "zone", "step", "type")
    group = Item("1", 1, Kind.FASTENER, "bolts", "s", "z", detail=Fastener())
    assert lacks_words(group) == ("count", "thread", "torque")
    assert lacks_words(Item("1", 1, Kind.FLUID, "oil", "s", "z", detail=Fluid())) == ("system",)


def test_a_described_item_lacks_nothing() -> None:
    bolts = Fastener("M8", no_figure=True)

    assert lacks_words(Item("1", 1, Kind.FASTENER, "bolts", "s", "z", 4, detail=bolts)) == ()
    assert lacks_words(Item("1", 1, Kind.PART, "starter", "s", "z", detail=Part())) == ()


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (Kind.FASTENER, "Left engine mount bolts"),
        (Kind.FASTENER, "Caliper bracket Brakes, front"),
        (Kind.PART, "Steering rack"),
        (Kind.FASTENER, "axle nut"),
        (Kind.FASTENER, "Flywheel bolts"),
        (Kind.FASTENER, "oil drain plug"),
        (Kind.FLUID, "Engine oil"),
        (Kind.LOCATOR, "Pilot bearing"),
        (Kind.FASTENER, "Nut of the ground"),
    ],
)
def test_words_of_what_can_hurt_ask_for_a_second_look(kind: Kind, words: str) -> None:
    assert critical_by_default(kind, "", words)


@pytest.mark.parametrize(
    "words", ["Intake manifold bolts", "Mounting kit box", "Background lamp", "Trim clips", ""]
)
def test_other_words_do_not(words: str) -> None:
    assert not critical_by_default(Kind.FASTENER, "", words)


def test_a_connection_goes_by_its_sort_and_a_rag_is_never_critical() -> None:
    assert not critical_by_default(Kind.CONNECTION, "coolant hose", "Brake fluid hose")
    assert not critical_by_default(Kind.TEMPORARY, "rag", "Rag in the brake drum")


def test_words_switch_the_second_look_on_once_and_then_the_owner_decides() -> None:
    plain, mount = Item("1", 1, Kind.FASTENER, "Bolts"), Item("1", 1, Kind.FASTENER, "Mount bolts")
    assert critical_after(plain, mount, words_before="Bolts", words_after="Mount bolts")
    assert not critical_after(mount, mount, words_before="Mount bolts", words_after="Mount bolts")
    assert critical_after(mount, replace(mount, critical=True), words_before="Mount", words_after="Mount")


@pytest.mark.parametrize(
    ("detail", "kind", "item_type"),
    [
        (Connection("coolant hose"), Kind.CONNECTION, "coolant hose"),
        (Fastener(head="12-point"), Kind.FASTENER, "12-point"),
        (Locator("dowel"), Kind.LOCATOR, "dowel"),
        (Temporary("rag"), Kind.TEMPORARY, "rag"),
        (Fluid("coolant"), Kind.FLUID, "coolant"),
        (Finding("crack"), Kind.FINDING, "crack"),
        (Part("worn"), Kind.PART, ""),
    ],
)
def test_the_type_is_asked_for_alike_of_every_kind(detail: Detail, kind: Kind, item_type: str) -> None:
    assert Item("1", 1, kind, detail=detail).type == item_type


def test_what_an_earlier_version_stored_by_another_word_is_read() -> None:
    stored = {"seal": "copper paste", "friction": "threadlock"}

    assert read_detail(Kind.FASTENER, stored) == Fastener(
        threadlock="copper paste", friction="wet threadlocker"
    )
    assert read_detail(Kind.FASTENER, stored | {"threadlock": "none"}).threadlock == "none"  # type: ignore[union-attr] # a fastener
    assert read_detail(Kind.PART, stored) == Part()


def test_the_word_that_is_read_for_friction_is_one_that_the_torques_know() -> None:
    group = read_detail(Kind.FASTENER, {"friction": "threadlock"})

    assert isinstance(group, Fastener)
    assert Friction(group.friction) is Friction.WET_THREADLOCKER


@pytest.mark.parametrize(
    ("kind", "detail", "said", "circuit"),
    [
        (Kind.CONNECTION, Connection("coolant hose"), "", "coolant"),
        (Kind.CONNECTION, Connection("fuel line"), "", "fuel"),
        (Kind.CONNECTION, Connection("oil or breather line"), "", ""),
        (Kind.CONNECTION, Connection("coolant hose"), "gearbox", "gearbox"),
        (Kind.FASTENER, Fastener(), "engine oil", "engine oil"),
        (Kind.FLUID, Fluid("coolant"), "", ""),
    ],
)
def test_what_a_thing_holds_back_is_said_or_told_by_the_type_of_a_connection(
    kind: Kind, detail: Any, said: str, circuit: str
) -> None:
    assert Item("x", 1, kind, detail=detail, system=said).circuit == circuit
