from typing import Any

from tests.web.conftest import Garage

HEAD = "20 N·m then 40 N·m + 90°"


def page(garage: Garage, item: str) -> str:
    return str(garage.owner.get(f"/i/{item}").text)


def bolts(garage: Garage, **words: Any) -> str:
    return garage.item(
        "fastener", **{"name": "Head bolts", "n": "4", "thread": "M10x1.5", "torque": HEAD, **words}
    )


def test_the_pattern_is_a_pdf_and_without_one_the_card_says_what_to_do(garage: Garage) -> None:
    item = bolts(garage, pattern="circle", places_mm="120")
    answer = garage.owner.get(f"/i/{item}/pattern.pdf")
    assert (answer.status_code, answer.mimetype) == (200, "application/pdf")
    plain = bolts(garage)
    assert garage.owner.get(f"/i/{plain}/pattern.pdf").status_code == 302
    assert "how its bolts lie" in page(garage, plain)
