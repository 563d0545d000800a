from app.store import crew
from app.store.db.clock import new_id
from tests.store.garage import Garage

CODE, OTHER, THIRD = "7K3F9QQ", "2222228", "444444F"


def give(garage: Garage, code: str) -> str:
    """Return the item that a code was given to."""
    return str(garage.receive(garage.capture(code=code)).body["found"][0]["subject"])


def test_the_person_named_did_it_and_an_unknown_one_falls_back_to_the_phones_own(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        ben = crew.person_named(session, "Ben").id
    subject = give(garage, CODE)
    for person in (ben, new_id()):
        garage.receive(garage.line(subject, act="seated") | {"person": person})

    assert garage.ask("SELECT person, device FROM journal WHERE verb = 'mark' ORDER BY seq") == [
        (ben, garage.ada.device),
        (garage.ada.person, garage.ada.device),
    ]
