from functools import cached_property
from pathlib import Path
from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy.orm import Session

from app.core.builds.gates import gate_keys, state_of
from app.core.builds.snapshot import Snapshot
from app.core.cycles import CycleError
from app.core.gates.gates import GateFacts
from app.core.items.kinds import Kind
from app.store.gates import gates_by_key
from app.store.journal import last_seq
from app.store.loading import load
from app.store.snapshots import Snapshots
from tests.store import writes
from tests.store.garage import Garage, fresh_garage
from tests.store.writes import WRITES, Writing

KEPT = {"memo", "gate_codes"}
"""What is kept for speed: it is compared by what gates see."""
FOLLOWS = sorted(
    name
    for owner in Snapshot.__mro__
    for name, value in vars(owner).items()
    if isinstance(value, cached_property) and name not in KEPT
)


def _what_follows(build: Snapshot) -> dict[str, object]:
    """Everything that is worked out of the whole of a build, in its order."""
    found: dict[str, object] = {}
    for name in FOLLOWS:
        try:
            value = getattr(build, name)
        except CycleError as error:
            value = error.members
        found[name] = [*value.items()] if isinstance(value, dict) else value
    found["gates"] = [state_of(gates_by_key()[key], build, GateFacts()).look for key in gate_keys(build)]
    return found


def assert_as_loaded(build: Snapshot | None, session: Session) -> None:
    fresh = load(session, 1, last_seq(session))
    assert build is not None
    assert fresh is not None
    assert build == fresh
    for name in ("entries", "places", "tags", "photos"):
        assert [*getattr(build, name)] == [*getattr(fresh, name)], name
    known_of, fresh_of = _what_follows(build), _what_follows(fresh)
    for name in fresh_of:
        assert known_of[name] == fresh_of[name], name


@given(seed=st.integers(0, 2**32), many=st.integers(1, 24))
@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_is_written_an_updated_build_is_the_one_that_is_loaded(
    template: Path, seed: int, many: int
) -> None:
    kept = Snapshots()
    with fresh_garage(template) as garage:
        chance = Random(seed)  # noqa: S311 - decides what is tried, guards nothing
        writing = Writing(garage, chance, lambda s: assert_as_loaded(kept.of(s, 1), s))
        writes.capture(writing)
        for write in writing.chance.choices(WRITES, k=many):
            with garage.database.reading() as session:
                assert_as_loaded(kept.of(session, 1), session)
            if write.__name__ not in {"mark_some", "count"} or _has_group(garage):
                write(writing)
        with garage.database.reading() as session:
            assert_as_loaded(kept.of(session, 1), session)


def _has_group(garage: Garage) -> bool:
    return any(e.item.kind is Kind.FASTENER for e in garage.now().items)
