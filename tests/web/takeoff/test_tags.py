"""What a scanned or typed code leads to."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.web.conftest import Garage


def code_of(garage: Garage, item: str) -> str:
    return str(garage.one("SELECT code FROM tag WHERE subject = ?", f"item:{item}"))


def test_a_blank_tag_opens_a_new_one_and_looking_gives_it_to_nothing(garage: Garage) -> None:
    code, before = garage.blank(), garage.everything()
    answer = garage.helper.get(f"/T/{code}/A")
    assert answer.status_code == 200
    assert f'name="code" value="{code}"' in answer.text
    assert garage.everything() == before


@pytest.mark.parametrize("form", ["/T/{0}", "/t/{1}", "/T/{0}/B", "/t/{1}/b", "/T/{0}/"])
def test_a_used_tag_opens_its_item_however_it_is_written(garage: Garage, form: str) -> None:
    item = garage.item()
    code = code_of(garage, item)
    answer = garage.helper.get(form.format(code, code.lower()))
    assert answer.headers["Location"].startswith(f"/i/{item}")


def test_a_void_tag_says_so_and_is_never_given_again(garage: Garage) -> None:
    item = garage.item()
    code = code_of(garage, item)
    assert garage.owner.post(f"/T/{code}/void").status_code == 302

    answer = garage.helper.get(f"/T/{code}/A")
    assert answer.status_code == 410
    assert "is void" in answer.text
    garage.helper.post("/b/1/take-off", code=code, kind="part")
    garage.owner.post(f"/T/{code}/give", to="1")
    assert garage.one("SELECT count(*) FROM item") == 1
    assert garage.one("SELECT void_at IS NOT NULL FROM tag WHERE code = ?", code) == 1
    assert garage.helper.get(f"/T/{code}").status_code == 410


def test_a_blank_tag_is_given_to_an_item_or_a_place_that_is_there(garage: Garage) -> None:
    item = garage.item()
    garage.owner.post("/b/1/places", name="crate 3")
    place = garage.one("SELECT id FROM place")
    for wanted, subject in (("#1", f"item:{item}"), ("Crate 3", f"place:{place}")):
        code = garage.blank()
        assert garage.helper.post(f"/T/{code}/give", to=wanted).status_code == 302
        assert garage.one("SELECT subject FROM tag WHERE code = ?", code) == subject
    assert garage.helper.get(f"/T/{code}").headers["Location"] == f"/places/{place}"


def test_a_places_whole_name_goes_before_a_number_with_words_behind_it(garage: Garage) -> None:
    item = garage.item("part", name="Crate lid")
    garage.owner.post("/b/1/places", name="1 crate")
    place = garage.one("SELECT id FROM place")
    for wanted, subject in (
        ("1 crate", f"place:{place}"),
        ("no. 1", f"item:{item}"),
        ("1 lid", f"item:{item}"),
    ):
        code = garage.blank()
        assert garage.helper.post(f"/T/{code}/give", to=wanted).status_code == 302
        assert garage.one("SELECT subject FROM tag WHERE code = ?", code) == subject


def test_a_tag_is_not_given_to_what_is_not_there_nor_under_a_code_that_is_none(garage: Garage) -> None:
    garage.item()
    before = garage.everything()
    assert garage.helper.post(f"/T/{garage.blank()}/give", to="77").status_code == 422
    assert garage.helper.post("/T/ABCDEFG/give", to="1").status_code == 422
    assert garage.everything() == before


def test_a_tag_that_hangs_on_one_thing_is_not_given_to_another(garage: Garage) -> None:
    first, _ = garage.item(), garage.item()
    code = code_of(garage, first)
    garage.owner.post(f"/T/{code}/give", to="2")
    assert code_of(garage, first) == code


@pytest.mark.parametrize("tail", ["ABCDEFG", "7K3", "%00", "..%2f..%2fetc", "<script>", "ÄÖÜ", "A" * 3000])
def test_what_is_no_code_is_a_404_that_says_what_a_code_is(garage: Garage, tail: str) -> None:
    answer = garage.helper.get(f"/T/{tail}")
    assert answer.status_code == 404
    assert "<script>" not in answer.text


def test_a_typed_near_miss_offers_the_printed_codes_one_sign_away(garage: Garage) -> None:
    code = garage.blank()
    for wrong in (code[0] + ("A" if code[1] != "A" else "B") + code[2:], code[1] + code[0] + code[2:]):
        if wrong != code:
            answer = garage.helper.get(f"/b/1/find?q={wrong}")
            assert f'href="/T/{code}"' in answer.text


def test_a_code_a_number_and_a_word_find_the_item(garage: Garage) -> None:
    item = garage.item(name="Fuel feed", note="green clip")
    code = code_of(garage, item)
    for asked in (code, f"{code[:3]}-{code[3:].lower()}"):
        assert garage.helper.get("/b/1/find?q=" + asked).headers["Location"] == f"/T/{code}"
    for asked in ("1", "%231"):
        assert garage.helper.get("/b/1/find?q=" + asked).headers["Location"] == f"/i/{item}"
    for asked in ("feed FUEL", "clip"):
        assert "Fuel feed" in garage.helper.get("/b/1/find?q=" + asked).text
    assert "Nothing here has «gasket»" in garage.helper.get("/b/1/find?q=gasket").text


@settings(max_examples=60, suppress_health_check=list(HealthCheck))
@given(st.text(max_size=30))
def test_no_typed_text_whatever_makes_the_search_fail(busy: Garage, asked: str) -> None:
    answer = busy.helper.client.get("/b/1/find", query_string={"q": asked.encode("utf-8", "surrogatepass")})
    assert answer.status_code in {200, 302}
