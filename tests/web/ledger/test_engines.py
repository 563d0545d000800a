"""Old against new, what is undecided, what leaves: pages and the forms that answer."""

import re
from datetime import UTC, datetime
from html import unescape
from typing import Any

import pytest
from werkzeug.test import TestResponse

from app.core.ids import is_id
from tests.web.conftest import Garage


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it be 4 May 2031."""
    monkeypatch.setattr("app.web.site.context.now", lambda: datetime(2031, 5, 4, 12, 0, tzinfo=UTC))


def words(answer: TestResponse) -> str:
    """Return what a page says, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def part(garage: Garage, name: str, owner: str = "old engine") -> str:
    return garage.item("part", name=name, owner=owner)


def answer(garage: Garage, item: str, destiny: str, **fields: Any) -> TestResponse:
    rev = garage.one("SELECT rev FROM item WHERE id = ?", item)
    return garage.helper.post(f"/i/{item}/answer", **{"destiny": destiny, "rev": rev, **fields})


def test_what_of_the_old_engine_has_no_answer_stands_on_top(garage: Garage) -> None:
    part(garage, "Pump")
    part(garage, "Pump, new", "new engine")
    page = words(garage.onlooker.get("/b/1/engines"))
    assert "Old engine: still without an answer 1 #1 Pump" in page
    assert "New, with no old one" in page
    assert "Old engine: 1 without an answer" in words(garage.onlooker.get("/b/1/undecided"))


@pytest.mark.parametrize("destiny", ["transfer", "replaced"])
def test_one_old_thing_may_move_to_or_be_replaced_by_several(garage: Garage, destiny: str) -> None:
    old = part(garage, "Bracket")
    new = [part(garage, name, "new engine") for name in ("Left half", "Right half")]
    assert answer(garage, old, destiny, others="#2, 3").status_code == 302
    rel = "moves_to" if destiny == "transfer" else "replaces"
    found = set(garage.rows("SELECT from_item, to_item FROM edge WHERE rel = ?", rel))
    assert found == {(old, one) if destiny == "transfer" else (one, old) for one in new}
    assert garage.state(old)["destiny"]["value"] == destiny
    assert "still without an answer 1" not in words(garage.owner.get("/b/1/engines"))


def test_one_new_thing_may_replace_several_and_lets_one_go_again(garage: Garage) -> None:
    olds = [part(garage, name) for name in ("Upper", "Lower")]
    new = part(garage, "Whole", "new engine")
    for old in olds:
        answer(garage, old, "replaced", others="3")
    assert set(garage.rows("SELECT from_item, to_item FROM edge")) == {(new, old) for old in olds}
    other = part(garage, "Another", "new engine")
    answer(garage, olds[0], "replaced", others="4")
    assert set(garage.rows("SELECT from_item, to_item FROM edge")) == {(new, olds[1]), (other, olds[0])}


@pytest.mark.parametrize(
    ("destiny", "fields", "field"),
    [
        ("", {}, "destiny"),
        ("burnt", {}, "destiny"),
        ("left_out", {"reason": " "}, "reason"),
        ("stays_on_old", {}, "reason"),
        ("replaced", {"others": "#77"}, "others"),
        ("replaced", {"others": "#1"}, "others"),
    ],
)
def test_an_answer_that_is_none_names_its_field_and_keeps_the_typing(
    garage: Garage, destiny: str, fields: dict[str, str], field: str
) -> None:
    old = part(garage, "Pump")
    before = garage.everything()
    refused = answer(garage, old, destiny, **fields)
    assert refused.status_code == 422
    assert f'href="#{field}-{old}"' in refused.text
    for typed in fields.values():
        assert f'value="{typed}"' in refused.text
    assert garage.everything() == before


def test_an_edge_made_from_a_stale_page_is_not_made_and_the_typing_kept(garage: Garage) -> None:
    old, _ = part(garage, "Pump"), part(garage, "Pump, new", "new engine")
    before = garage.everything()
    refused = answer(garage, old, "replaced", others="#2", rev="1")
    assert refused.status_code == 409
    assert 'value="#2"' in refused.text
    assert garage.everything() == before


def test_a_circle_of_replacements_is_refused(garage: Garage) -> None:
    first, second = part(garage, "First"), part(garage, "Second")
    answer(garage, first, "replaced", others="2")
    refused = answer(garage, second, "replaced", others="1")
    assert refused.status_code == 422
    assert "circle" in words(refused)


def test_an_answer_refused_half_way_writes_nothing_of_it(garage: Garage) -> None:
    old, circular = part(garage, "Old"), part(garage, "Circular")
    for nth in range(5):  # ids are drawn: one of these is written before the circle is found, nearly always
        part(garage, f"Good {nth}", "new engine")
    answer(garage, circular, "replaced", others="1")
    before = garage.everything()
    assert answer(garage, old, "replaced", others="2 3 4 5 6 7").status_code == 422
    assert garage.everything() == before


def test_what_is_new_is_open_from_the_start_and_comes_on_in_its_step(garage: Garage) -> None:
    page = garage.helper.get("/b/1/engines").text
    step = garage.one("SELECT id FROM step WHERE name = 'Dress the new engine on the bench'")
    assert f'<option selected value="{step}">' in page
    sent = {"name": "Bracket", "kind": "part", "count": "2", "zone": "", "step": step, "buy": "y"}
    made = garage.helper.post("/b/1/engines", **sent).headers["Location"]
    item = made.removeprefix("/i/")
    assert garage.rows("SELECT owner, n, step_id FROM item") == [("new engine", 2, step)]
    assert garage.state(item)["off_seq"] == 0
    assert "waits for: Bracket, to be got" in words(garage.owner.get(made))
    assert "Bracket" in words(garage.owner.get("/b/1/ledger"))


@pytest.mark.parametrize(
    ("field", "typed"), [("name", " "), ("count", "0"), ("count", "-2"), ("kind", "fluid"), ("zone", "moon")]
)
def test_a_wrong_new_thing_names_its_field_and_keeps_the_typing(
    garage: Garage, field: str, typed: str
) -> None:
    before = garage.everything()
    sent = {"name": "Bra<cket", "kind": "part", "count": "3", "zone": "", "step": "", field: typed}
    refused = garage.helper.post("/b/1/engines", **sent)
    assert refused.status_code == 422
    assert f'id="{field}-wrong"' in refused.text
    assert field == "name" or 'value="Bra&lt;cket"' in refused.text
    assert garage.everything() == before


def test_the_form_for_something_new_sent_twice_makes_one(garage: Garage) -> None:
    for _ in range(2):
        garage.helper.post("/b/1/engines", name="Bracket", kind="part", zone="", step="", item="a" * 32)
    assert garage.one("SELECT count(*) FROM item") == 1


def test_the_sum_over_what_becomes_of_the_parts_is_their_number(busy: Garage) -> None:
    page = busy.onlooker.get("/b/1/leaving").text
    counts = [int(n) for n in re.findall(r"<td>(\d+)</td>", page)]
    parts = busy.one("SELECT count(*) FROM item WHERE kind = 'part'")
    assert counts[-1] == parts
    assert sum(counts[:-1]) == parts


def test_the_groups_of_the_comparison_add_up(busy: Garage) -> None:
    counts = [int(n) for n in re.findall(r"<td>(\d+)</td>", busy.onlooker.get("/b/1/engines").text)]
    assert sum(counts[:-1]) == counts[-1]


def test_an_answer_for_what_is_not_there_is_not_found_and_a_wrong_method_refused(garage: Garage) -> None:
    step = garage.one("SELECT id FROM step WHERE direction = 'on_only'")
    for page in ("engines", "leaving", "undecided"):
        assert garage.owner.get(f"/b/7/{page}").status_code == 404
    assert garage.owner.post(f"/i/{'0' * 32}/answer").status_code == 404
    assert garage.owner.post(f"/i/{step}/answer", destiny="refit").status_code == 404
    assert garage.owner.post("/b/1/leaving").status_code == 405
    assert garage.owner.post("/b/1/undecided").status_code == 405


@pytest.mark.parametrize("sent", ["", "/" * 32, "é" * 32, "G" * 32, "a" * 31, "../../" + "a" * 26])
def test_a_new_part_sent_with_an_id_that_is_none_has_a_card_all_the_same(garage: Garage, sent: str) -> None:
    fields = {"name": "Bracket", "kind": "part", "zone": "", "step": ""}
    made = garage.helper.post("/b/1/engines", **fields, item=sent)

    assert made.status_code == 302
    assert "Bracket" in words(garage.helper.get(made.headers["Location"]))
    assert is_id(garage.one("SELECT id FROM item"))


def test_a_form_shown_again_carries_an_id_and_not_what_was_sent(garage: Garage) -> None:
    page = garage.helper.post("/b/1/engines", name="", kind="part", item="G" * 32)

    assert page.status_code == 422
    assert "G" * 32 not in page.text
