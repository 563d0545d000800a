import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import replace
from typing import Any

import pytest

from app.core.builds.snapshot import Snapshot
from app.core.items.items import Item, Part
from app.core.items.kinds import Act, Kind
from app.store import snapshots
from app.store.db.clock import new_id
from app.store.journal import append, last_seq
from app.store.loading import load
from app.store.plan.builds import add_zone
from app.store.snapshots import KEPT, Snapshots
from tests.store.garage import NOW, Garage

READERS = 12


def off(garage: Garage) -> str:
    item = Item(new_id(), 0, Kind.PART, "Bracket", garage.steps[0], detail=Part())
    garage.add(item)
    return item.id


def mark(garage: Garage, item: str, act: str) -> None:
    seen = garage.entry(item).state.tips
    assert garage.receive(garage.line(f"item:{item}", after=seen, act=act)).status == 200


def read(garage: Garage, kept: Snapshots) -> Snapshot:
    with garage.database.reading() as session:
        found = kept.of(session, 1)
    assert found is not None
    return found


@pytest.fixture
def loads(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What was read from the database, in turn: whole builds and new lines."""
    found: list[str] = []
    for name in ("load", "update"):
        real = getattr(snapshots, name)

        def counted(*args: object, name: str = name, real: object = real) -> object:
            found.append(name)
            return real(*args)  # type: ignore[operator] # the one that it stands for

        monkeypatch.setattr(snapshots, name, counted)
    return found


def test_readers_at_once_load_a_build_once_and_take_a_mark_in_once(garage: Garage, loads: list[str]) -> None:
    kept, item = Snapshots(), off(garage)
    together = threading.Barrier(READERS)

    def reader(_: int) -> Snapshot:
        together.wait()
        return read(garage, kept)

    with ThreadPoolExecutor(READERS) as pool:
        first = set(map(id, pool.map(reader, range(READERS))))
        mark(garage, item, "placed")
        second = set(map(id, pool.map(reader, range(READERS))))

    assert (len(first), len(second)) == (1, 1)
    assert loads == ["load", "update"]


def test_a_reader_whose_moment_is_past_gets_the_build_of_that_moment(garage: Garage) -> None:
    kept, item = Snapshots(), off(garage)
    with garage.database.reading() as session:
        seq = last_seq(session)
        for act in ("placed", "off", "placed", "off", "placed", "off")[: KEPT + 1]:
            mark(garage, item, act)
            read(garage, kept)
        found = kept.of(session, 1)
        assert found is not None
        assert found.seq == seq
        assert found == load(session, 1, seq)


def test_what_a_unit_of_work_sees_of_its_own_is_kept_for_nobody(garage: Garage) -> None:
    kept = Snapshots()
    before = read(garage, kept)
    with suppress(RuntimeError), garage.database.unit_of_work() as session:
        add_zone(session, garage.build, "Trunk", "above", writer=garage.writer, now=NOW)
        own = kept.of(session, 1)
        assert own is not None
        assert len(own.zones) == len(before.zones) + 1
        raise RuntimeError

    stop = garage.about(f"build:{garage.build}", "stop", {})
    with garage.database.unit_of_work() as session:
        append(session, stop, build_id=garage.build, now=NOW)
    assert read(garage, kept).zones == before.zones


def test_a_unit_of_work_that_has_written_nothing_reads_what_is_kept(garage: Garage, loads: list[str]) -> None:
    kept = Snapshots()
    before = read(garage, kept)
    with garage.database.unit_of_work() as session:
        assert kept.of(session, 1) is before
    assert loads == ["load"]


def test_no_more_moments_are_kept_than_said(garage: Garage, loads: list[str]) -> None:
    kept, item = Snapshots(), off(garage)
    with garage.database.reading() as session:
        read(garage, kept)
        last_seq(session)
        for nth in range(KEPT):
            mark(garage, item, ("placed", "off")[nth % 2])
            read(garage, kept)
        kept.of(session, 1)
    assert loads == ["load", *["update"] * KEPT, "load"]


def take_off(garage: Garage, *names: str, step: int = 0, act: Act | None = None) -> list[str]:
    ids = [new_id() for _ in names]
    for item_id, name in zip(ids, names, strict=True):
        garage.add(
            Item(item_id, 0, Kind.PART, name, garage.steps[step], garage.zones[0], detail=Part()), act=act
        )
    return ids


def tell(garage: Garage, item_id: str, verb: str = "mark", **body: Any) -> None:
    seen = garage.entry(item_id).state.tips
    assert garage.receive(garage.line(f"item:{item_id}", verb, after=seen, **body)).status == 200


def test_a_snapshot_is_kept_until_the_next_line(garage: Garage) -> None:
    kept = Snapshots()
    (a,) = take_off(garage, "a")
    with garage.database.reading() as session:
        first = kept.of(session, 1)
        assert first is not None
        assert kept.of(session, 1) is first
        assert kept.of(session, 2) is None
    tell(garage, a, act="placed")
    with garage.database.reading() as session:
        second = kept.of(session, 1)

    assert second is not None
    assert (first.entries[a].state_key, second.entries[a].state_key) == ("off", "placed")


def test_what_a_unit_of_work_sees_and_takes_back_is_not_kept(garage: Garage) -> None:
    kept = Snapshots()
    (a,) = take_off(garage, "a")
    with pytest.raises(KeyError), garage.database.unit_of_work() as session:  # noqa: PT012 - all is the unit
        seen = frozenset(garage.entry(a).state.tips)
        line = replace(garage.about(f"item:{a}", "mark", {"act": "placed"}), after=seen)
        append(session, line, build_id=garage.build, now=NOW)
        inside = kept.of(session, 1)
        assert inside is not None
        raise KeyError
    tell(garage, a, verb="dispose", destiny="undecided")

    with garage.database.reading() as session:
        now = kept.of(session, 1)

    assert inside is not None
    assert now is not None
    assert now.seq == inside.seq
    assert inside.entries[a].state.positions[0].act is Act.PLACED
    assert now.entries[a].state.positions[0].act is Act.OFF
