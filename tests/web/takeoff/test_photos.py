from io import BytesIO

from tests.web.conftest import Garage


def test_a_photo_from_the_tray_is_given_to_several_items_by_their_numbers(garage: Garage) -> None:
    first, second = garage.item("part", name="Pump"), garage.item("part", name="Cover")
    photo = (garage.helper.send(garage.capture(), garage.photo()).json or {})["photo"]
    before = garage.everything()
    for wrong in ("77", "", "1 77", "x"):
        garage.helper.post(f"/p/{photo}/give", numbers=wrong)
    assert garage.everything() == before

    garage.helper.post(f"/p/{photo}/give", numbers="#1, 2")
    for item in (first, second):
        assert f"/p/{photo}.jpg" in garage.helper.get(f"/i/{item}").text
    assert f"/p/{photo}.jpg" not in garage.helper.get("/b/1/tray").text
    picture = garage.helper.get(f"/p/{photo}.jpg")
    assert picture.data.startswith(b"\xff\xd8\xff")
    assert b"Exif" not in picture.data


def test_a_photo_is_sent_as_a_picture_that_can_do_nothing_else(busy: Garage) -> None:
    photo = busy.one("SELECT id FROM photo")
    headers = busy.owner.get(f"/p/{photo}.jpg").headers
    assert headers["Content-Type"] == "image/jpeg"
    assert "sandbox" in headers["Content-Security-Policy"]
    assert "private" in headers["Cache-Control"]


def test_a_row_and_a_card_get_the_picture_as_small_as_they_show_it(busy: Garage) -> None:
    photo = busy.one("SELECT id FROM photo")
    whole, card, row, odd = (
        busy.owner.get(f"/p/{photo}.jpg{asked}") for asked in ("", "?for=card", "?for=row", "?for=wall")
    )
    assert len(row.data) < 10_000 < len(card.data) < 100_000
    assert odd.data == whole.data
    assert row.headers["ETag"] != whole.headers["ETag"]
    assert "immutable" in row.headers["Cache-Control"]


def test_a_card_takes_one_more_photo_without_script_and_once(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    sent = {"entry_id": "c" * 32}
    for _ in range(2):
        answer = garage.helper.post(f"/i/{item}/photos", photo=(BytesIO(garage.photo()), "p.jpg"), **sent)
        assert answer.headers["Location"] == f"/i/{item}"
    assert "Photo added." in garage.helper.get(f"/i/{item}").text
    assert garage.rows("SELECT count(*) FROM shows WHERE subject = ?", f"item:{item}") == [(1,)]
    step = garage.one("SELECT id FROM step WHERE direction = 'on_only'")
    garage.helper.post(f"/i/{step}/photos", photo=(BytesIO(garage.photo()), "p.jpg"))
    assert garage.rows("SELECT count(*) FROM shows WHERE subject = ?", f"step:{step}") == [(1,)]


def test_what_is_no_photo_is_not_added_and_the_card_says_so(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    before = garage.everything()
    for photo in ({"photo": (BytesIO(b"words"), "p.jpg")}, {}):
        garage.helper.post(f"/i/{item}/photos", **photo)
        assert "flash-problem" in garage.helper.get(f"/i/{item}").text
    assert garage.everything() == before


def test_a_blank_tag_in_a_photo_of_what_is_there_stays_blank(garage: Garage) -> None:
    item, code = garage.item("part", name="Pump"), garage.blank()
    garage.helper.post(f"/i/{item}/photos", photo=(BytesIO(garage.photo(code)), "p.jpg"))
    assert garage.rows("SELECT count(*) FROM shows WHERE subject = ?", f"item:{item}") == [(1,)]
    assert garage.one("SELECT count(*) FROM item") == 1
    assert garage.rows("SELECT subject FROM tag WHERE code = ?", code) == [(None,)]
