"""What is to be got: worked out, ordered, arrived; as a page, as a file for the shop, as a table."""

import csv
import re
from datetime import UTC, datetime
from html import unescape
from html.parser import HTMLParser
from io import StringIO

import pytest
from werkzeug.test import TestResponse

from app.core.csv_lines import open_cell
from app.core.ids import is_id
from tests.web.conftest import Garage

PAGE = "/b/1/to-get"
GLOVES = {
    "what": "nitrile gloves",
    "count": "2",
    "at_whom": "the counter",
    "price": "8.90",
    "due": "2031-05-12",
}


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it be 4 May 2031."""
    monkeypatch.setattr("app.web.site.context.now", lambda: datetime(2031, 5, 4, 12, 0, tzinfo=UTC))


def words(answer: TestResponse) -> str:
    """Return what a page says, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def bolts(garage: Garage) -> str:
    return garage.item(
        "fastener", name="Head bolts", n="4", thread="M10x1.5x90", one_time="yes", torque="50 N·m"
    )


def mark(garage: Garage, item: str, what: str, need: str = "pieces") -> TestResponse:
    found = garage.rows("SELECT id, rev FROM outstanding WHERE subject = ?", f"item:{item}")
    known = {"wait": found[0][0], "rev": found[0][1]} if found else {}
    return garage.helper.post(f"{PAGE}/mark", item=item, need=need, what=what, **known)


def test_one_time_bolts_are_on_the_list_and_block_until_they_are_here(garage: Garage) -> None:
    item = bolts(garage)
    assert "4 × Head bolts: M10x1.5x90 for #1 Head bolts" in words(garage.onlooker.get(PAGE))
    assert "waits for: Head bolts: M10x1.5x90, to be got" in words(garage.owner.get(f"/i/{item}"))

    assert mark(garage, item, "ordered").status_code == 302
    assert "ordered 4 May" in words(garage.owner.get(PAGE))
    assert "waits for: Head bolts: M10x1.5x90, ordered" in words(garage.owner.get("/b/1/put-back"))

    mark(garage, item, "arrived")
    assert "1 arrived or in hand" in words(garage.owner.get(PAGE))
    assert "waits for" not in words(garage.owner.get(f"/i/{item}"))


def test_what_is_in_hand_already_is_one_tap(garage: Garage) -> None:
    item = bolts(garage)
    mark(garage, item, "arrived")
    assert garage.rows("SELECT since, done_on, count FROM outstanding") == [(None, "2031-05-04", 4)]


def test_two_phones_that_order_the_same_order_it_once(garage: Garage) -> None:
    item = bolts(garage)
    for _ in range(2):
        garage.helper.post(f"{PAGE}/mark", item=item, need="pieces", what="ordered")
    assert garage.one("SELECT count(*) FROM outstanding") == 1
    assert "not on the list any more" in words(garage.helper.get(PAGE))


def test_shop_and_price_of_a_worked_out_line_are_kept_and_summed(garage: Garage) -> None:
    item = bolts(garage)
    form = garage.helper.get(f"/i/{item}/outstanding?category=get&need=pieces")
    assert 'value="Head bolts: M10x1.5x90"' in form.text
    sent = {
        "category": "get",
        "need_of": "pieces",
        "what": "Head bolts",
        "count": "4",
        "at_whom": "the counter",
    }
    assert garage.helper.post(f"/i/{item}/outstanding", **sent, price="31.20").headers["Location"] == PAGE
    garage.helper.post(PAGE, **GLOVES)
    page = words(garage.owner.get(PAGE))
    assert "the counter 2" in page
    assert "Asked for all of it: 40.10 EUR" in page
    mark(garage, item, "arrived")
    page = words(garage.owner.get(PAGE))
    assert "Asked for all of it: 8.90 EUR" in page
    assert "Spent on what has arrived: 31.20 EUR" in page


def test_the_owners_own_line_may_belong_to_an_item_and_then_blocks_it(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    assert garage.helper.post(PAGE, **GLOVES, number="#1").status_code == 302
    assert "waits for: nitrile gloves, to be got" in words(garage.owner.get(f"/i/{item}"))
    garage.helper.post(PAGE, **{**GLOVES, "what": "hand cleaner"})
    assert garage.one("SELECT subject FROM outstanding WHERE what = 'hand cleaner'").startswith("build:")


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("what", " "),
        ("count", "-1"),
        ("count", "many"),
        ("price", "cheap"),
        ("due", "2031-05-03"),
        ("number", "77"),
    ],
)
def test_a_wrong_field_of_a_wish_is_named_and_the_typing_kept(garage: Garage, field: str, typed: str) -> None:
    before = garage.everything()
    answer = garage.helper.post(PAGE, **{**GLOVES, "at_whom": "the «counter»", field: typed})
    assert answer.status_code == 422
    assert f'href="#{field}"' in answer.text
    assert f'id="{field}-wrong"' in answer.text
    assert 'value="the «counter»"' in answer.text
    assert garage.everything() == before


class _Outside(HTMLParser):
    """Collects all that a page would load or lead to."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = {"src", "href", "action", "srcset", "poster", "data"}
        self.found += [f"{tag} {name}={value}" for name, value in attrs if name in names]
        self.found += [tag] if tag in {"script", "link", "iframe", "object", "base"} else []


def test_the_file_for_the_shop_stands_alone(garage: Garage) -> None:
    bolts(garage)
    garage.helper.post(PAGE, **GLOVES)
    answer = garage.onlooker.get(f"{PAGE}.html")
    outside = _Outside()
    outside.feed(answer.text)
    assert outside.found == []
    assert "url(" not in answer.text
    assert "@import" not in answer.text
    assert answer.headers["Content-Disposition"] == 'attachment; filename="to-get-1.html"'
    assert "4 × Head bolts: M10x1.5x90" in words(answer)
    assert "2 × nitrile gloves" in words(answer)


def test_the_table_has_every_line_and_no_formula(garage: Garage) -> None:
    bolts(garage)
    garage.helper.post(PAGE, **{**GLOVES, "what": "=1+1", "at_whom": "@counter"})
    answer = garage.onlooker.get(f"{PAGE}.csv")
    assert answer.data.startswith(b"\xef\xbb\xbf")
    rows = list(csv.DictReader(StringIO(answer.text.removeprefix("\ufeff"))))
    assert [(row["shop"], row["what"], row["how much"]) for row in rows] == [
        ("'@counter", "'=1+1", "2 ×"),
        ("", "Head bolts: M10x1.5x90", "4 ×"),
    ]
    assert (rows[0]["price"], rows[0]["currency"], rows[0]["due"]) == ("8.90", "EUR", "2031-05-12")


@pytest.mark.parametrize("what", ["=1+1", "+1", "-1", "@a", "＝1", "'=1"])
def test_the_table_and_the_list_guard_a_cell_alike(garage: Garage, what: str) -> None:
    garage.helper.post(PAGE, **{**GLOVES, "what": what, "at_whom": f"\xa0{what}"})
    _, row = csv.reader(StringIO(garage.onlooker.get(f"{PAGE}.csv").text.removeprefix("\ufeff")))

    assert row[0] in {f"'\xa0{what}", f"'{what}"}
    assert row[1] == f"'{what}"
    assert open_cell(row[1]) == what


@pytest.mark.parametrize("number", ["1", "#1", "no. 1", "1 bolts"])
def test_a_wish_is_for_the_item_that_is_typed_in_any_of_its_ways(garage: Garage, number: str) -> None:
    item = bolts(garage)
    assert garage.helper.post(PAGE, **GLOVES, number=number).status_code == 302
    assert garage.one("SELECT subject FROM outstanding") == f"item:{item}"


@pytest.mark.parametrize("number", ["7", "1 hoses", "bolts", "1, 2"])
def test_a_wish_for_no_item_or_for_two_is_asked_again(garage: Garage, number: str) -> None:
    bolts(garage)
    assert garage.helper.post(PAGE, **GLOVES, number=number).status_code == 422
    assert garage.one("SELECT count(*) FROM outstanding") == 0


@pytest.mark.parametrize("sent", ["é" * 32, "G" * 32, "a" * 31])
def test_a_wish_sent_with_an_id_that_is_none_has_one(garage: Garage, sent: str) -> None:
    garage.helper.post(PAGE, **GLOVES, wait=sent)
    assert is_id(garage.one("SELECT id FROM outstanding"))


def test_the_owner_chooses_the_currency_and_written_prices_keep_theirs(garage: Garage) -> None:
    garage.helper.post(PAGE, **GLOVES)
    kept = {"title": "Blue van", "vehicle": "", "units": "N·m", "words": "us"}
    assert garage.owner.post("/b/1/settings", **kept, rev="1", currency="GBP").status_code == 302
    assert garage.owner.post("/b/1/settings", **kept, rev="2", currency="shells").status_code == 422
    assert garage.owner.post("/b/1/settings", **kept, rev="2").status_code == 302
    garage.helper.post(PAGE, **{**GLOVES, "what": "rags", "price": "3"})
    assert "Asked for all of it: 8.90 EUR + 3.00 GBP" in words(garage.owner.get(PAGE))


def test_bolts_of_which_nobody_knows_are_shown_apart(garage: Garage) -> None:
    garage.item("fastener", name="Rod bolts", one_time="unknown")
    assert "Not known whether they may be used again" in words(garage.owner.get(PAGE))


def test_the_list_of_no_build_is_not_found_and_a_wrong_method_refused(
    garage: Garage,
) -> None:
    for address in ("/b/7/to-get", "/b/7/to-get.html", "/b/7/to-get.csv"):
        assert garage.owner.get(address).status_code == 404
    assert garage.owner.post("/b/7/to-get", **GLOVES).status_code == 404
    assert garage.owner.get(f"{PAGE}/mark").status_code == 405
    assert garage.owner.post(f"{PAGE}.csv").status_code == 405
