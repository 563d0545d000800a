from app.store.db.models import PhotoRow
from app.store.intake.entries import StoredPicture
from app.store.intake.shown import give_photo
from tests.store.garage import NOW, Garage


def loose_photo(garage: Garage) -> str:
    return str(garage.receive(garage.capture(), picture=StoredPicture("a" * 64, 8, 6)).body["photo"])


def give(garage: Garage, photo: str, *subjects: str) -> None:
    with garage.database.unit_of_work() as session:
        give_photo(session, session.get_one(PhotoRow, photo), subjects, writer=garage.writer, now=NOW)


def test_a_photo_that_is_given_to_a_thing_leaves_the_tray(garage: Garage) -> None:
    photo = loose_photo(garage)
    assert garage.now().tray == (photo,)

    give(garage, photo, f"zone:{garage.zones[0]}")

    assert garage.now().tray == ()
    assert garage.now().photos == {f"zone:{garage.zones[0]}": (photo,)}


def test_given_again_it_shows_the_same_once_and_the_new_one_too(garage: Garage) -> None:
    photo = loose_photo(garage)
    first, second = (f"zone:{zone}" for zone in garage.zones[:2])
    give(garage, photo, first)

    give(garage, photo, first, second)

    assert garage.now().photos == {first: (photo,), second: (photo,)}


def test_a_line_about_the_photo_says_what_it_shows_and_who_said_so(garage: Garage) -> None:
    photo = loose_photo(garage)
    give(garage, photo, f"zone:{garage.zones[0]}")

    assert garage.ask("SELECT subject, body, person FROM journal WHERE verb = 'give'") == [
        (f"photo:{photo}", f'{{"shows": ["zone:{garage.zones[0]}"]}}', garage.ada.person)
    ]
