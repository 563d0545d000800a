from dataclasses import replace
from typing import Any

import pytest

from app.core.items.items import Item, Part
from app.core.items.kinds import Act, Kind
from app.store.db.clock import new_id
from app.store.journal import append
from app.store.snapshots import Snapshots
from tests.store.garage import NOW, Garage


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
