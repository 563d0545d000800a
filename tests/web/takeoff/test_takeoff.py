"""Taking off from a page without script."""

import re
from io import BytesIO

import pytest

from app.core.tags import draw_code
from tests.web.conftest import Garage

PAGE = "/b/1/take-off"


def test_a_typed_code_makes_the_line_with_kind_step_and_zone(garage: Garage) -> None:
    code = garage.blank()
    step, zone = garage.one("SELECT id FROM step"), garage.one("SELECT id FROM zone")
    answer = garage.helper.post(
        PAGE, code=f" {code[:3].lower()}-{code[3:]}", kind="part", step=step, zone=zone
    )

    assert answer.headers["Location"] == PAGE
    assert garage.rows("SELECT number, kind, step_id, zone_id FROM item") == [(1, "part", step, zone)]
    assert "new line" in garage.helper.get(PAGE).text


def test_kind_step_and_zone_carry_over_to_the_next_item(garage: Garage) -> None:
    step, zone = (
        garage.one("SELECT id FROM step WHERE direction = 'both' ORDER BY position DESC"),
        garage.rows("SELECT id FROM zone")[1][0],
    )
    garage.helper.post(PAGE, code=garage.blank(), kind="fastener", step=step, zone=zone)
    page = garage.helper.get(PAGE).text
    assert 'value="fastener" checked' in page
    assert f'<option value="{step}" selected' in page
    assert garage.owner.get(PAGE).text.count(f'<option value="{step}" selected') == 0


def test_a_photo_with_its_tag_makes_the_line_and_many_are_sorted_by_theirs(garage: Garage) -> None:
    first = garage.blank()
    garage.item()
    second = garage.blank()
    photos = [
        (BytesIO(photo), f"{n}.jpg")
        for n, photo in enumerate([garage.photo(second), garage.photo(first), garage.photo()])
    ]
    answer = garage.helper.post(PAGE, kind="fluid", photo=photos)

    assert answer.status_code == 302
    assert garage.rows("SELECT number, kind FROM item ORDER BY number") == [(1, "connection"), (2, "fluid")]
    page = garage.helper.get(PAGE).text
    for words in ("new line", "photo added to", "1 without a readable tag: in the tray"):
        assert words in page


def test_a_wrong_code_is_answered_with_a_sentence_and_all_that_was_chosen_is_kept(garage: Garage) -> None:
    code, before = garage.blank(), garage.everything()
    wrong = code[:-1] + ("2" if code[-1] != "2" else "3")
    step, zone = (
        garage.one("SELECT id FROM step WHERE direction = 'both' AND position > 0"),
        garage.rows("SELECT id FROM zone")[1][0],
    )
    person = garage.one("SELECT person_id FROM device WHERE role = 'owner'")
    answer = garage.helper.post(
        PAGE, code=wrong, kind="part", step=step, zone=zone, act="loosened", person=person
    )

    assert answer.status_code == 422
    assert f'value="{wrong}"' in answer.text
    assert 'class="problems" role="alert"' in answer.text
    assert 'name="kind" value="part" checked' in answer.text
    assert f'<option value="{step}" selected' in answer.text
    assert '<option value="loosened" selected' in answer.text
    assert f'name="person" value="{person}" checked' in answer.text
    assert re.search(f'value="{zone}" aria-label="[^"]+" checked', answer.text)
    assert garage.everything() == before


@pytest.mark.parametrize("typed", ["", "7K3", "7K3-F9Q1", "<b>", "7K3F9QQ7K3F9QQ", "ÄÖÜ-1234", "x" * 500])
def test_what_is_no_code_makes_no_line(garage: Garage, typed: str) -> None:
    before = garage.everything()
    answer = garage.helper.post(PAGE, code=typed, kind="part")
    assert answer.status_code == 422
    assert 'class="wrong"' in answer.text
    assert garage.everything() == before


def test_a_file_that_is_no_photo_is_refused_with_a_sentence(garage: Garage) -> None:
    before = garage.everything()
    answer = garage.helper.post(PAGE, kind="part", photo=(BytesIO(b"not one"), "a.jpg"))
    assert answer.status_code == 422
    assert "not a photo" in answer.text
    assert garage.everything() == before


def test_a_photo_sent_from_a_scanned_tag_s_page_keeps_the_tag_when_it_is_refused(garage: Garage) -> None:
    code = garage.blank()
    answer = garage.helper.post(PAGE, code=code, then="item", kind="part", photo=(BytesIO(b"no"), "a.jpg"))
    assert answer.status_code == 422
    assert f'type="hidden" name="code" value="{code}"' in answer.text


def test_the_same_page_sent_twice_makes_one_item(garage: Garage) -> None:
    form = {"code": garage.blank(), "kind": "part", "entry_id": "a" * 32, "item_id": "b" * 32}
    for _ in range(2):
        assert garage.helper.post(PAGE, **form).status_code == 302
    assert garage.rows("SELECT id FROM item") == [("b" * 32,)]


def test_a_kind_or_a_state_that_there_is_not_is_refused(garage: Garage) -> None:
    before, code = garage.everything(), garage.blank()
    for form in (
        {"kind": "spaceship"},
        {"kind": "step"},
        {"kind": "fluid", "act": "aside"},
        {"act": "explode"},
    ):
        assert garage.helper.post(PAGE, code=code, **form).status_code == 422
    assert garage.everything() == before


def test_a_valid_code_that_was_never_printed_here_is_adopted(garage: Garage) -> None:
    code = draw_code(lambda signs: signs[7])
    assert "New tag" in garage.helper.get(f"/T/{code}").text
    assert garage.helper.post(PAGE, code=code, kind="part").status_code == 302
    assert garage.rows("SELECT sheet_id, subject IS NULL FROM tag WHERE code = ?", code) == [(None, 0)]


def test_a_state_is_offered_only_with_the_kinds_that_know_it(garage: Garage) -> None:
    page = garage.helper.get(PAGE).text
    assert re.search(r'value="aside" data-kinds="connection part"', page)
    assert re.search(r'value="already_off" data-kinds="[^"]*fluid', page)


def test_a_cap_is_asked_what_it_closes_and_the_newest_thing_of_its_zone_comes_first(garage: Garage) -> None:
    zones = [row[0] for row in garage.rows("SELECT id FROM zone LIMIT 2")]
    for zone in zones:
        garage.helper.post(PAGE, code=garage.blank(), kind="connection", zone=zone)
    near, far = (garage.one("SELECT id FROM item WHERE zone_id = ?", zone) for zone in reversed(zones))
    page = garage.helper.get(PAGE).text
    asked = page[page.index('id="closes"') : page.index("</select>", page.index('id="closes"'))]
    assert re.findall(r'value="([^"]*)"', asked) == ["", near, far]

    garage.helper.post(PAGE, code=garage.blank(), kind="temporary", zone=zones[1], closes=near)
    cap = garage.one("SELECT id FROM item WHERE kind = 'temporary'")
    assert garage.rows("SELECT from_item, rel, to_item FROM edge") == [(cap, "closes", near)]


@pytest.mark.parametrize("blank", [False, True])
def test_an_onlooker_gets_a_sentence_and_no_capture_form(garage: Garage, blank: bool) -> None:
    address = f"/T/{garage.blank()}" if blank else PAGE
    page = garage.onlooker.get(address)
    assert page.status_code == 200
    assert "This phone has joined to look" in page.text
    assert "<form" not in page.text
    assert "data-capture" in garage.helper.get(address).text


def test_a_kind_says_in_which_state_it_begins(garage: Garage) -> None:
    page = garage.helper.get(PAGE).text
    begins = dict(re.findall(r'name="kind" value="(\w+)"[^>]*data-begins="([^"]+)"', page))
    assert {key: begins[key] for key in ("connection", "temporary", "fluid", "finding")} == {
        "connection": "off",
        "temporary": "in",
        "fluid": "drained",
        "finding": "found",
    }
