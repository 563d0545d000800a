"""Finding with half a code, and with a word that is not spelled as it is here."""

from urllib.parse import quote

import pytest

from tests.web.conftest import Garage


def test_the_first_signs_of_a_torn_tag_find_its_item(garage: Garage) -> None:
    item = garage.item(name="Fuel feed line")
    garage.item(name="Radiator hose")
    code = garage.one("SELECT code FROM tag WHERE subject = ?", f"item:{item}")
    page = garage.owner.get(f"/b/1/find?q={code[:5].lower()}").text
    assert "Fuel feed line" in page
    assert "Radiator hose" not in page
    assert "Fuel feed line" not in garage.owner.get(f"/b/1/find?q={code[:2]}").text


def test_a_misspelled_word_is_answered_with_the_nearest_one(garage: Garage) -> None:
    garage.item(name="Alternator bracket")
    page = garage.owner.get("/b/1/find?q=altenator bracket").text
    assert "Did you mean" in page
    assert "q=alternator+bracket" in page
    assert "Nothing here has «zzzz»" in garage.owner.get("/b/1/find?q=zzzz").text


@pytest.mark.parametrize(
    ("asked", "is_item"), [("#1", True), ("no. 1", True), ("1 lid", True), ("1 mm", False)]
)
def test_a_number_with_other_words_is_looked_for_as_words(
    garage: Garage, asked: str, *, is_item: bool
) -> None:
    garage.item("part", name="Lid")
    assert garage.owner.get(f"/b/1/find?q={quote(asked)}").status_code == (302 if is_item else 200)
