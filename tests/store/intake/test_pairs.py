import pytest

from app.store.plan.items import set_edges
from tests.store.garage import NOW, Garage

CODE, OTHER, BLANK = "7K3F9QQ", "2222228", "444444F"


@pytest.fixture
def plugs(garage: Garage) -> tuple[str, str]:
    """The subjects of two plugs, each with its tag."""
    one, other = (
        str(garage.receive(garage.capture(code=code)).body["found"][0]["subject"]) for code in (CODE, OTHER)
    )
    return one, other


def latch(garage: Garage, subject: str, via: str, half: str = "") -> tuple[int, str]:
    answer = garage.receive(garage.line(subject, act="latched", via=via, half=half))
    return answer.status, str(answer.body.get("problem", ""))


def test_the_other_half_of_its_own_tag_is_taken(garage: Garage, plugs: tuple[str, str]) -> None:
    assert latch(garage, plugs[0], f"{CODE} B", half="A") == (200, "")


def test_the_half_of_another_is_refused_with_its_number(garage: Garage, plugs: tuple[str, str]) -> None:
    status, said = latch(garage, plugs[0], f"{OTHER} B", half="A")

    assert status == 422
    assert "#2" in said
    assert "#1" in said
    assert garage.ask("SELECT count(*) FROM journal WHERE verb = 'mark'") == [(0,)]


def test_the_half_of_what_it_is_paired_with_is_taken_from_either_side(
    garage: Garage, plugs: tuple[str, str]
) -> None:
    one, other = (subject.partition(":")[2] for subject in plugs)
    with garage.database.unit_of_work() as session:
        set_edges(session, one, "pairs", {other}, garage.about(f"item:{one}", "edit", {}), now=NOW)

    assert latch(garage, plugs[0], f"{OTHER} B")[0] == 200
    assert latch(garage, plugs[1], f"{CODE} B")[0] == 200


def test_the_same_half_read_twice_is_refused(garage: Garage, plugs: tuple[str, str]) -> None:
    status, said = latch(garage, plugs[0], f"{CODE} A", half="A")

    assert status == 422
    assert "read twice" in said


def test_a_code_that_nothing_has_and_one_that_is_none_are_refused(
    garage: Garage, plugs: tuple[str, str]
) -> None:
    assert "Nothing has the code" in latch(garage, plugs[0], f"{BLANK} B")[1]
    assert latch(garage, plugs[0], "hello")[0] == 422
