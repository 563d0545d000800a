"""What a card says of an item, one fact a line."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import pytest
from flask import Flask

from app.core.builds.snapshot import Entry
from app.core.items.items import Connection, Detail, End, Fastener, Item
from app.core.items.kinds import Act, Kind
from app.core.items.state import ItemState, PositionState, Register
from app.web.cards.fact_view import Fact, item_facts
from tests.web.conftest import Garage


@pytest.fixture(autouse=True)
def shown() -> Iterator[None]:
    """Without a build nothing is in another dialect."""
    with Flask("shown").app_context():
        yield


def facts(detail: Detail, state: ItemState, place: Sequence[str] = (), **words: Any) -> tuple[Fact, ...]:
    kind = Kind.FASTENER if isinstance(detail, Fastener) else Kind.CONNECTION
    item = Item("i", 1, kind, detail=detail, **words)
    return item_facts(Entry(item, state, (), "off"), place).facts


def untouched(bolts: int = 1) -> ItemState:
    return ItemState(positions=tuple(PositionState(n) for n in range(1, bolts + 1)))


def off(*pieces: str) -> ItemState:
    return ItemState(
        positions=tuple(PositionState(n, Act.OFF, piece=piece) for n, piece in enumerate(pieces, 1))
    )


def group(**words: Any) -> tuple[Fact, ...]:
    return facts(Fastener(**words), untouched(4), n=4)


def test_of_what_nobody_said_a_word_nothing_is_said() -> None:
    assert group() == ()
    assert facts(Connection(), untouched()) == ()


def test_one_piece_has_its_place_alone_and_several_are_counted() -> None:
    assert facts(Connection(), off(""), ["shelf", "bag 3"]) == (Fact("shelf → bag 3"),)
    counted = "3 out: 0 fitted, 1 renewed, 0 spare, 1 lost"
    several = off("", "renewed", "lost")
    assert facts(Fastener(), several, ["bag 3"], n=3) == (Fact("bag 3", f"{counted}, 1 still to go"),)
    assert facts(Fastener(), several, n=3) == (Fact("No shelf place yet", counted),)
    assert facts(Fastener(), off(""), n=1) == ()


def test_what_came_off_again_says_which_round_it_is() -> None:
    entry = Entry(Item("i", 1, Kind.PART), untouched(), (), "off")
    assert item_facts(entry, ()).again is None
    again = item_facts(replace(entry, state=replace(entry.state, round=2)), ()).again
    assert again
    assert again.text == "Round 2"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"threadlock": "medium"}, Fact("medium", "lock or sealant")),
        ({"friction": "oiled"}, Fact("Thread: oiled", "the torque holds for this")),
        ({"joint": "plastic, or a plastic cap"}, Fact("Into plastic, or a plastic cap")),
        ({"retorque": "hot"}, Fact("Tighten again: hot", "after the first start")),
        ({"lengths": "1-2: 25; 3 4: 45"}, Fact("Lengths differ", "holes 1-2: 25 mm · 3 4: 45 mm")),
    ],
)
def test_a_group_says_what_its_bolts_ask_for(words: dict[str, str], said: Fact) -> None:
    assert said in group(**words)


def test_a_usual_joint_and_a_thread_that_nobody_knows_say_nothing() -> None:
    assert group(friction="not known", joint="cast iron", one_time="no") == ()


def test_what_is_used_once_only_and_a_wrong_length_are_to_be_acted_on() -> None:
    once = group(one_time="yes")
    assert [fact.is_open for fact in once] == [True]
    state = replace(untouched(4), lengths=Register("1-2: 45; 3 4: 45"))
    wrong = [fact for fact in facts(Fastener(lengths="1-2: 25; 3 4: 45"), state, n=4) if fact.is_open]
    assert wrong


def test_a_connection_says_its_lock_and_whose_its_ends_are() -> None:
    ends = (End("A", "socket", "vehicle"), End("B"))
    assert facts(Connection(lock="slide lock", ends=ends), untouched()) == (
        Fact("Lock: slide lock"),
        Fact("A: socket", "on the vehicle"),
    )


def test_the_second_person_is_said_last() -> None:
    assert facts(Connection(lock="clamp"), untouched(), critical=True)[-1].text == (
        "A second person looks at it"
    )


def test_a_card_shows_its_facts_and_its_note(garage: Garage) -> None:
    item = garage.item("fastener", name="Bolt", n="2", one_time="yes", note="behind the pump")
    page = garage.owner.get(f"/i/{item}").text
    assert '<li class="fact fact-open"><span><b>One-time-use bolt: install new</b><small>' in page
    assert '<li class="fact"><span>behind the pump</span></li>' in page
