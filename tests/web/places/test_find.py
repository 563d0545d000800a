"""Finding with half a code, and with a word that is not spelled as it is here."""

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
