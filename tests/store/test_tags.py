import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from app.core.tags import is_code
from app.store import tags
from app.store.tags import TagFacts
from tests.store.garage import NOW, Garage

CODE = "7K3F9QQ"


def sheet(garage: Garage, count: int = 1) -> tuple[str, ...]:
    with garage.database.unit_of_work() as session:
        made, codes = tags.print_sheet(
            session, count=count, grid="a4", halves=True, name="garage", port=8765, now=NOW
        )
        assert tags.codes_of(session, made.id) == codes
    return codes


def give(garage: Garage, code: str, subject: str) -> bool:
    line = garage.about(f"tag:{code}", "give", {"to": subject})
    with garage.database.unit_of_work() as session:
        return tags.give(session, code, subject, line, build_id=garage.build, now=NOW)


def make_void(garage: Garage, code: str) -> bool:
    with garage.database.unit_of_work() as session:
        line = garage.about(f"tag:{code}", "void", {})
        return tags.make_void(session, code, line, build_id=garage.build, now=NOW)


def known(garage: Garage, code: str) -> TagFacts:
    with garage.database.reading() as session:
        return tags.look_up(session, code)


def test_a_sheet_has_fresh_valid_codes_and_keeps_its_address(garage: Garage) -> None:
    codes = sheet(garage, 300) + sheet(garage, 300)

    assert len(set(codes)) == 600
    assert all(is_code(code) for code in codes)
    assert garage.ask("SELECT name, port FROM printed_address") == [("garage", 8765)]
    assert garage.ask("SELECT nr FROM sheet ORDER BY nr") == [(1,), (2,)]


def test_a_code_is_unknown_then_blank_then_used_then_void(garage: Garage) -> None:
    assert known(garage, CODE).state == "unknown"
    (code,) = sheet(garage)
    assert known(garage, code) == TagFacts(code, "blank")
    give(garage, code, "item:1")
    assert known(garage, code) == TagFacts(code, "used", "item:1")
    make_void(garage, code)
    assert known(garage, code) == TagFacts(code, "void", "item:1")


def test_a_tag_is_given_once(garage: Garage) -> None:
    assert give(garage, CODE, "item:1")
    assert give(garage, CODE, "item:1")
    assert not give(garage, CODE, "item:2")
    assert known(garage, CODE).subject == "item:1"
    assert garage.ask("SELECT count(*) FROM journal WHERE verb = 'give'") == [(1,)]


def test_a_void_tag_is_given_to_nothing_and_made_void_once(garage: Garage) -> None:
    (code,) = sheet(garage)
    assert make_void(garage, code)

    assert not make_void(garage, code)
    assert not give(garage, code, "item:1")
    assert not make_void(garage, CODE)
    assert garage.now().tags == {}


@pytest.mark.parametrize(
    "attack",
    [
        "UPDATE tag SET void_at = NULL",
        "UPDATE tag SET subject = 'item:2'",
        "DELETE FROM tag",
        "INSERT OR REPLACE INTO tag SELECT code, sheet_id, NULL, NULL FROM tag",
    ],
)
def test_a_void_tag_stays_void(garage: Garage, attack: str) -> None:
    give(garage, CODE, "item:1")
    make_void(garage, CODE)

    with pytest.raises(IntegrityError), garage.database.unit_of_work() as session:
        session.execute(text(attack))

    assert known(garage, CODE) == TagFacts(CODE, "void", "item:1")


def test_a_printed_code_stays_known(garage: Garage) -> None:
    (code,) = sheet(garage)

    with pytest.raises(IntegrityError, match="stays known"), garage.database.unit_of_work() as session:
        session.execute(text("DELETE FROM tag"))

    assert known(garage, code).state == "blank"
