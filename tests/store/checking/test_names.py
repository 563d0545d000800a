from app.store.checking.names import called
from tests.store.checking.conftest import Kept


def test_things_are_called_as_people_call_them(kept: Kept) -> None:
    with kept.garage.database.reading() as session:
        assert called(session, f"item:{kept.pump}") == "#1 Pump (build 1)"
        assert called(session, f"place:{kept.crate}") == "place «Crate» (build 1)"
        assert called(session, f"zone:{kept.garage.zones[0]}").startswith("zone «")
        assert called(session, f"step:{kept.garage.steps[0]}").endswith("» (build 1)")
        assert called(session, f"build:{kept.garage.build}") == "build 1"


def test_what_is_not_there_is_called_by_its_id(kept: Kept) -> None:
    with kept.garage.database.reading() as session:
        assert called(session, "item:gone") == "item gone"
        assert called(session, "gate:lift") == "gate lift"


def test_a_nameless_item_is_called_by_its_number_alone(kept: Kept) -> None:
    kept.harm("UPDATE item SET name = '' WHERE number = 1")
    with kept.garage.database.reading() as session:
        assert called(session, f"item:{kept.pump}") == "#1 (build 1)"
