"""An entry with its photo: read once, kept before its row, refused before anything is read."""

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from app.core.problem import Problem
from app.core.tags import read_typed
from app.store.intake.entries import IntakeAnswer
from app.store.intake.take_in import PhotoRead, take_in
from tests.store.garage import NOW, Garage

CODE = "7K3F9QQ"
UNREADABLE = read_typed("no code")
assert isinstance(UNREADABLE, Problem)


class Reader:
    """Counts what it is asked to read."""

    def __init__(self, answer: PhotoRead | Problem) -> None:
        self.answer, self.asked = answer, 0

    def __call__(self, photo: bytes) -> PhotoRead | Problem:
        assert photo
        self.asked += 1
        return self.answer


@pytest.fixture
def reader() -> Reader:
    return Reader(PhotoRead(b"small", 800, 600, (CODE,)))


class Phone:
    """Sends entries to a folder."""

    def __init__(self, garage: Garage, path: Path) -> None:
        self.garage, self.photos = garage, path
        self.folder: Any = SimpleNamespace(id="f" * 32, database=garage.database, photos=path)

    def send(self, entry: dict[str, Any], photo: bytes | None, reader: Reader, **by: Any) -> IntakeAnswer:
        visitor = replace(self.garage.ada, **by)
        sent = {"folder": self.folder.id} | entry
        return take_in(self.folder, sent, photo, visitor, read_photo=reader, now=NOW)

    def kept(self) -> list[bytes]:
        return [path.read_bytes() for path in self.photos.rglob("*.jpg")]


@pytest.fixture
def phone(garage: Garage, tmp_path: Path) -> Phone:
    return Phone(garage, tmp_path)


def test_a_photo_is_kept_and_its_codes_become_lines(phone: Phone, reader: Reader) -> None:
    answer = phone.send(phone.garage.capture(), b"large", reader)
    assert (answer.status, answer.body["found"][0]["code"], answer.body["found"][0]["state"]) == (
        200,
        CODE,
        "new",
    )
    assert phone.kept() == [b"small"]


def test_the_photo_of_an_entry_that_came_before_is_not_read_again(phone: Phone, reader: Reader) -> None:
    entry = phone.garage.capture()
    answers = [phone.send(entry, b"large", reader) for _ in range(3)]
    assert answers == [answers[0]] * 3
    assert reader.asked == 1


def test_what_is_no_photo_is_refused_and_leaves_nothing(phone: Phone) -> None:
    rows = phone.garage.rows()
    answer = phone.send(phone.garage.capture(), b"text", Reader(Problem("no-photo", "This is no photo.")))
    assert (answer.status, answer.body["code"]) == (422, "no-photo")
    assert (phone.kept(), phone.garage.rows()) == ([], rows)


@pytest.mark.parametrize(
    ("entry", "by", "status", "code"),
    [
        ({"folder": "e" * 32}, {}, 409, "folder"),
        ({}, {"role": "onlooker"}, 403, "role"),
        ({"code": "no code"}, {}, 422, UNREADABLE.code),
    ],
)
def test_what_may_not_be_taken_in_is_refused_before_its_photo_is_read(
    phone: Phone, reader: Reader, entry: dict[str, Any], by: dict[str, Any], status: int, code: str
) -> None:
    rows = phone.garage.rows()
    answer = phone.send(phone.garage.capture() | entry, b"large", reader, **by)
    assert answer.status == status
    assert answer.body["code"] == code
    assert (reader.asked, phone.kept(), phone.garage.rows()) == (0, [], rows)


def test_what_a_phone_sends_that_was_shut_out_is_quarantined_with_its_picture(
    phone: Phone, reader: Reader
) -> None:
    answer = phone.send(phone.garage.capture(), b"large", reader, shut=True)
    assert answer.status == 202
    assert phone.kept() == [b"small"]
    assert phone.garage.rows()["item"] == 0


NOWHERE = {"build": "99"}
"""What makes an entry one that is refused only when its photo has been read and kept."""


def test_a_refused_entry_leaves_no_picture(phone: Phone, reader: Reader) -> None:
    rows = phone.garage.rows()

    answer = phone.send(phone.garage.capture() | NOWHERE, b"large", reader)

    assert answer.status >= 400
    assert (reader.asked, phone.kept(), phone.garage.rows()) == (1, [], rows)


def test_a_refused_entry_takes_no_picture_away_that_another_one_shows(phone: Phone, reader: Reader) -> None:
    assert phone.send(phone.garage.capture(), b"large", reader).status == 200

    assert phone.send(phone.garage.capture() | NOWHERE, b"large", reader).status >= 400

    assert phone.kept() == [b"small"]


def test_a_refused_entry_takes_no_picture_away_that_was_put_aside(phone: Phone, reader: Reader) -> None:
    assert phone.send(phone.garage.capture(), b"large", reader, shut=True).status == 202

    assert phone.send(phone.garage.capture() | NOWHERE, b"large", reader).status >= 400

    assert phone.kept() == [b"small"]


def test_the_same_picture_refused_between_another_ones_file_and_its_row_is_there_in_the_end(
    phone: Phone, reader: Reader
) -> None:
    database = phone.garage.database

    class Meanwhile:
        """The database, with a refused entry of the same picture coming in before the first writing."""

        reading = database.reading

        def unit_of_work(self) -> Any:
            phone.folder.database = database
            assert phone.send(phone.garage.capture() | NOWHERE, b"large", reader).status >= 400
            assert phone.kept() == []
            return database.unit_of_work()

    phone.folder.database = Meanwhile()

    assert phone.send(phone.garage.capture(), b"large", reader).status == 200
    assert phone.kept() == [b"small"]
