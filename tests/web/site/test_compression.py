import gzip

from app.web.site.compression import LEAST
from tests.web.conftest import Garage


def test_a_page_is_sent_compressed_to_a_browser_that_takes_it_and_is_the_same(garage: Garage) -> None:
    plain = garage.owner.get("/b/1/steps")
    packed = garage.owner.get("/b/1/steps", Accept_Encoding="gzip, br")

    assert "Content-Encoding" not in plain.headers
    assert packed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.data).count(b"\n") == plain.data.count(b"\n")
    assert len(packed.data) < len(plain.data) / 2
    assert int(packed.headers["Content-Length"]) == len(packed.data)


def test_a_cache_between_keeps_both_apart(garage: Garage) -> None:
    assert "Accept-Encoding" in garage.owner.get("/b/1/steps").headers["Vary"]


def test_a_picture_is_packed_already_and_sent_as_it_is(busy: Garage) -> None:
    photo = busy.one("SELECT id FROM photo")

    assert "Content-Encoding" not in busy.owner.get(f"/p/{photo}.jpg", Accept_Encoding="gzip").headers


def test_a_short_answer_is_not_packed(garage: Garage) -> None:
    answer = garage.owner.client.post(
        "/lines", data={"entry": "x"}, headers={"X-CSRFToken": garage.owner.token, "Accept-Encoding": "gzip"}
    )

    assert len(answer.data) < LEAST
    assert "Content-Encoding" not in answer.headers


def test_a_browser_that_refuses_it_gets_it_plain(garage: Garage) -> None:
    assert "Content-Encoding" not in garage.owner.get("/b/1/steps", Accept_Encoding="gzip;q=0").headers
