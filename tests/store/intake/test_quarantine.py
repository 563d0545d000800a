from app.store import crew
from app.store.crew import Visitor
from app.store.intake.entries import StoredPicture
from tests.store.garage import NOON, Garage

CODE, OTHER, THIRD = "7K3F9QQ", "2222228", "444444F"


PICTURE = StoredPicture("a" * 64, 800, 600)


def give(garage: Garage, code: str) -> str:
    """Return the item that a code was given to."""
    return str(garage.receive(garage.capture(code=code)).body["found"][0]["subject"])


def test_an_entry_of_a_phone_that_was_shut_out_is_put_aside_and_changes_nothing(garage: Garage) -> None:
    subject = give(garage, CODE)
    rows = garage.rows()
    with garage.database.unit_of_work() as session:
        device, key = crew.let_in(session, name="Ben", label="phone", role="helper", now=NOON)
        crew.shut_out(session, device.id, NOON)
        ben = crew.visitor_by_key(session, key)
    assert isinstance(ben, Visitor)
    entry = garage.line(subject, act="seated")

    answers = [garage.receive(entry, by=ben) for _ in range(2)]

    assert (answers[0].status, answers[0]) == (202, answers[1])
    after = garage.rows()
    assert (after["journal"], after["quarantine"]) == (rows["journal"], 1)
    assert garage.entry(subject.partition(":")[2]).state_key == "off"
