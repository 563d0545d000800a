import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from app.core.consistency.times import NO_TIMES
from app.core.items.items import Fastener, Item
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.items.state import ItemState, fold
from app.store.checking.lines import line_problems
from app.store.db.clock import new_id
from app.store.db.models import ItemStateRow, JournalRow, Place
from app.store.journal import (
    FOLD,
    append,
    as_line,
    last_seq,
    lines_of,
    newest,
    read_state,
    refold_outdated,
    store_state,
)
from app.store.plan.items import add_item
from tests.core.items.lines import SUBJECT, three_phones
from tests.store.garage import NOW, Garage, fresh_garage

BOLTS = Item("1", 0, Kind.FASTENER, n=4, detail=Fastener())


def write(garage: Garage, *lines: Line) -> None:
    for line in lines:
        with garage.database.unit_of_work() as session:
            append(session, line, build_id=garage.build, now=NOW)


def stored(garage: Garage) -> ItemState:
    with garage.database.reading() as session:
        return read_state(session.get_one(ItemStateRow, SUBJECT).state)


def wrong_states(garage: Garage) -> tuple[str, ...]:
    with garage.database.reading() as session:
        return tuple(p.where for p in line_problems(session) if p.code == "state-differs")


@given(three_phones(most=10), st.data())
@settings(max_examples=15)
def test_the_kept_state_equals_a_refold_and_no_order_of_arrival_changes_it(
    template: Path, lines: list[Line], data: st.DataObject
) -> None:
    arrivals = [lines, data.draw(st.permutations(lines))]
    states = []
    for arrived in arrivals:
        with fresh_garage(template) as garage:
            at = data.draw(st.integers(0, len(arrived)))
            write(garage, *arrived[:at])
            first = garage.about(SUBJECT, "add", {})
            with garage.database.unit_of_work() as session:
                add_item(session, BOLTS, replace(first, id="f" * 32), build_id=garage.build, now=NOW)
            write(garage, *arrived[at:])
            assert wrong_states(garage) == ()
            states.append(replace(stored(garage), off_seq=0, last_seq=0))

    assert states[0] == states[1]


def test_a_kept_state_that_was_tampered_with_is_found(garage: Garage) -> None:
    garage.add(BOLTS)
    assert wrong_states(garage) == ()
    with garage.database.unit_of_work() as session:
        row = session.get_one(ItemStateRow, SUBJECT)
        row.state = row.state | {"round": 7}

    assert wrong_states(garage) == ("#1 (build 1)",)


def test_a_line_comes_back_as_it_was_written(garage: Garage) -> None:
    line = Line(
        new_id(), SUBJECT, "mark", {"act": "off", "pos": [1]}, frozenset({"b", "a"}), "P", "D", 0, "at"
    )
    write(garage, line)

    with garage.database.reading() as session:
        assert lines_of(session, SUBJECT) == [replace(line, seq=last_seq(session))]
        assert as_line(session.query(JournalRow).filter_by(id=line.id).one()).after == line.after


def test_a_line_and_its_state_are_kept_together_or_not_at_all(garage: Garage) -> None:
    garage.add(BOLTS)
    before = garage.rows(), stored(garage)
    line = garage.about(SUBJECT, "mark", {"act": "tight"})
    with pytest.raises(KeyError), garage.database.unit_of_work() as session:  # noqa: PT012 - all is the unit
        append(session, line, build_id=garage.build, now=NOW)
        raise KeyError

    assert (garage.rows(), stored(garage)) == before


def test_a_line_of_the_same_number_is_refused(garage: Garage) -> None:
    line = garage.about(SUBJECT, "mark", {"act": "off"})
    write(garage, line)

    with pytest.raises(IntegrityError):
        write(garage, line)


def test_a_state_is_read_as_it_was_stored(garage: Garage) -> None:
    garage.add(BOLTS)
    write(garage, garage.about(SUBJECT, "mark", {"act": "tight", "pos": [2]}))

    assert read_state(store_state(stored(garage), NO_TIMES)) == stored(garage)
    assert stored(garage).positions[1].disagree


def test_a_place_stands_where_the_last_move_put_it_and_nowhere_while_two_disagree(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        session.add_all(
            Place(id=name, build_id=garage.build, name=name, parent_id=None)
            for name in ("bag", "crate", "shelf")
        )
    one = garage.about("place:bag", "move", {"place": "crate"})
    two = garage.about("place:bag", "move", {"place": "shelf"})
    write(garage, one)
    assert garage.now().place_path("bag") == ("bag", "crate")

    write(garage, two)
    assert garage.now().place_path("bag") == ("bag",)

    write(garage, replace(two, id=new_id(), after=frozenset({one.id, two.id})))
    assert garage.now().place_path("bag") == ("bag", "shelf")


def test_a_loop_of_places_made_by_two_phones_ends(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        session.add_all(Place(id=name, build_id=garage.build, name=name, parent_id=None) for name in "ab")
    write(
        garage,
        garage.about("place:a", "move", {"place": "b"}),
        garage.about("place:b", "move", {"place": "a"}),
    )

    assert garage.now().place_path("a") == ("a", "b")


def test_the_newest_lines_come_first(garage: Garage) -> None:
    garage.add(BOLTS)
    write(garage, garage.about(SUBJECT, "mark", {"act": Act.TIGHT.value}))

    with garage.database.reading() as session:
        assert [line.verb for line in newest(session, garage.build, limit=2)] == ["mark", "add"]
        assert [line.verb for line in newest(session, garage.build, limit=1, verbs=("add",))] == ["add"]


@pytest.mark.parametrize(
    "attack",
    [
        "UPDATE journal SET body = '{}'",
        "UPDATE journal SET seq = seq + 100",
        "DELETE FROM journal",
        "DELETE FROM journal WHERE seq = 1",
        "INSERT OR REPLACE INTO journal SELECT * FROM journal",
        "REPLACE INTO journal SELECT 9, id, build_id, subject, verb, body, v, after, 1, 1, 1, 1 FROM journal",
        "UPDATE OR REPLACE journal SET id = 'x'",
    ],
)
def test_the_journal_refuses_every_change(garage: Garage, attack: str) -> None:
    before = garage.ask("SELECT * FROM journal")

    with pytest.raises(IntegrityError, match="only ever added to"), garage.database.unit_of_work() as session:
        session.execute(text(attack))

    assert garage.ask("SELECT * FROM journal") == before


def test_the_journal_refuses_a_change_by_another_program_too(garage: Garage, database_path: Path) -> None:
    assert garage.rows()["journal"]
    other = sqlite3.connect(database_path)
    try:
        for attack in ("UPDATE journal SET verb = 'x'", "DELETE FROM journal"):
            with pytest.raises(sqlite3.IntegrityError, match="only ever added to"):
                other.execute(attack)
    finally:
        other.close()


def test_states_that_another_program_folded_are_folded_again(garage: Garage) -> None:
    garage.add(BOLTS)
    before = stored(garage)
    with garage.database.unit_of_work() as session:
        session.execute(
            text("UPDATE item_state SET state = json_set(json_remove(state, '$.fold'), '$.round', 9)")
        )
    with garage.database.unit_of_work() as session:
        assert refold_outdated(session) == 1
        assert refold_outdated(session) == 0
    assert stored(garage) == before


def test_the_form_of_stored_states_is_that_of_its_number() -> None:
    """Who changes the form raises the number, or an older folder's states are read as what they are not."""
    form = store_state(fold(Kind.FASTENER, 1, ()), NO_TIMES)
    said = {name: sorted(form[name]) for name in ("destiny", "amounts")}

    assert (FOLD, sorted(form), sorted(form["positions"][0]), said) == (
        7,
        [
            "acknowledged", "amounts", "confirmed", "destiny", "fate", "fold", "last_seq", "lengths",
            "off_seq", "pending", "place", "positions", "round", "times", "tips",
        ],
        [
            "act", "alone", "checker", "disagree", "lines", "looked_in", "n", "person", "piece", "reached",
            "refused_check", "setting", "stage", "told", "via", "wrench",
        ],
        {"destiny": ["disagree", "lines", "reason", "value"], "amounts": ["answered", "drained", "filled"]},
    )  # fmt: skip
