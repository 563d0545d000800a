from datetime import timedelta

import pytest

from app.store import crew
from app.store.crew import Visitor
from tests.store.garage import NOON, Garage


def pair(garage: Garage, role: str = "helper") -> str:
    with garage.database.unit_of_work() as session:
        return crew.new_pairing(session, role, NOON)


def spend(garage: Garage, token: str, *, later: timedelta = timedelta(0)) -> str | None:
    """Return the key that the phone gets."""
    with garage.database.unit_of_work() as session:
        spent = crew.spend_pairing(session, token, name="Ben", label="phone", now=NOON + later)
        return spent[1] if spent else None


def visitor(garage: Garage, key: str) -> Visitor | None:
    with garage.database.reading() as session:
        return crew.visitor_by_key(session, key)


def test_a_pairing_lets_one_phone_in_once(garage: Garage) -> None:
    token = pair(garage)
    key = spend(garage, token)

    assert key is not None
    ben = visitor(garage, key)
    assert ben is not None
    assert (ben.name, ben.role, ben.shut, ben.may_write) == ("Ben", "helper", False, True)
    assert spend(garage, token) is None
    assert garage.rows()["device"] == 2


@pytest.mark.parametrize(("seconds", "let_in"), [(0, True), (599, True), (600, False), (86400, False)])
def test_a_pairing_lasts_ten_minutes(garage: Garage, seconds: int, *, let_in: bool) -> None:
    token = pair(garage)

    assert (spend(garage, token, later=timedelta(seconds=seconds)) is not None) is let_in


def test_looking_at_a_pairing_does_not_spend_it(garage: Garage) -> None:
    token = pair(garage)
    with garage.database.reading() as session:
        assert crew.pairing(session, token, NOON) is not None
        assert crew.pairing(session, "another", NOON) is None

    assert spend(garage, token)


def test_keys_and_pairings_are_stored_as_digests_alone(garage: Garage) -> None:
    token = pair(garage)
    key = spend(garage, token)

    assert garage.ask("SELECT token_hash FROM pairing") == [(crew.digest(token),)]
    assert (crew.digest(str(key)),) in garage.ask("SELECT key_hash FROM device")


def test_nobody_is_behind_a_wrong_key(garage: Garage) -> None:
    assert visitor(garage, "") is None
    assert visitor(garage, "another") is None


def test_a_phone_that_is_shut_out_is_known_and_may_not_write(garage: Garage) -> None:
    key = spend(garage, pair(garage))
    assert key
    ben = visitor(garage, key)
    assert ben
    for later in (0, 5):
        with garage.database.unit_of_work() as session:
            assert crew.shut_out(session, ben.device, NOON + timedelta(minutes=later))
            assert not crew.shut_out(session, "nobody", NOON)

    shut = visitor(garage, key)
    assert shut is not None
    assert (shut.shut, shut.may_write) == (True, False)
    assert garage.ask("SELECT shut_at FROM device WHERE shut_at IS NOT NULL") == [("2031-05-04T12:00:00Z",)]


@pytest.mark.parametrize(("role", "may_write"), [("owner", True), ("helper", True), ("onlooker", False)])
def test_an_onlooker_may_not_write(garage: Garage, role: str, *, may_write: bool) -> None:
    key = spend(garage, pair(garage, role))
    ben = visitor(garage, str(key))

    assert ben is not None
    assert ben.may_write is may_write


@pytest.mark.parametrize(("role", "is_owner"), [("owner", True), ("helper", False), ("onlooker", False)])
def test_only_the_owner_decides_for_the_owner(garage: Garage, role: str, *, is_owner: bool) -> None:
    ben = visitor(garage, str(spend(garage, pair(garage, role))))

    assert ben is not None
    assert ben.is_owner is is_owner


def test_a_person_with_two_phones_is_one_person(garage: Garage) -> None:
    keys = [spend(garage, pair(garage)) for _ in range(2)]

    assert len({getattr(visitor(garage, str(key)), "person", "") for key in keys}) == 1
    with garage.database.reading() as session:
        assert [person.name for person in crew.people(session)] == ["Ada", "Ben"]
