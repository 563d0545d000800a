"""The page of torque values, a pasted table that is written whole or not at all, and a found bolt."""

import re
from typing import Any

import pytest

from app.core.problem import STALE, Problem
from app.store.plan import items
from app.web.torque import torques
from tests.web.conftest import Garage


def titles(page: str) -> list[str]:
    return re.findall(r'row-title">#\d+ ([^<]+)<', page)


def zone(garage: Garage, at: int) -> str:
    return str(garage.rows("SELECT id FROM zone ORDER BY position")[at][0])


def test_groups_stand_under_their_zones_with_all_that_is_known_and_lead_to_their_cards(
    garage: Garage,
) -> None:
    low = garage.item(
        "fastener", name="Low", zone=zone(garage, 4), n="3", thread="M8x1.25x30", strength="8.8"
    )
    top = garage.item(
        "fastener", name="Top", zone=zone(garage, 0), torque="25 N·m", torque_source="book, p. 9"
    )
    garage.item("fastener", name="Nowhere", no_figure="y")
    garage.item("part", name="Pump")
    page = garage.owner.get("/b/1/torques").text

    assert titles(page) == ["Top", "Low", "Nowhere"]
    assert "No zone yet" in page
    for address in (f'href="/i/{low}"', f'href="/i/{top}"'):
        assert address in page
    for words in ("3 pieces · M8x1.25x30 · 8.8", "book, p. 9", "No figure written yet", "No figure found"):
        assert words in page
    assert "unverified" not in page
    assert page.count('aria-current="page">Torque</a>') == 1  # first among its own


def test_pound_feet_and_pound_inches_look_different_and_stages_stand_as_printed(garage: Garage) -> None:
    garage.item("fastener", name="A", torque="30 ft-lbs", torque_source="book")
    garage.item("fastener", name="B", torque="30 in-lbs", torque_source="book")
    for name, text in (("C", "20 N·m then 40 N·m"), ("D", "max. 9 lb-in"), ("E", "36 N·m (27 lb-ft)")):
        garage.item("fastener", name=name, torque=text, torque_source="book")
    page = garage.owner.get("/b/1/torques?sort=name").text
    a, b, *rest = page.split('row-torque">')[1:]
    assert 'class="unit"' in a
    assert "foot pounds" in a
    assert 'class="unit unit-inch"' in b
    assert "INCH pounds" in b
    said = [re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", each)).strip() for each in rest]
    for shown, text in zip(
        said,
        (
            "20 N·m then 40 N·m as printed · book",
            "max. 9 lb·in INCH pounds printed “max. 9 lb-in” · read as max. 9 lb·in · book",
            "36 N·m printed “36 N·m (27 lb-ft)” · read as 36 N·m (27 lb·ft) · book",
        ),
        strict=True,
    ):
        assert shown.startswith(text)


def test_a_slip_of_the_unit_and_a_missing_source_are_told_beside_the_value(garage: Garage) -> None:
    garage.item("fastener", name="A", thread="M6x1", strength="8.8", torque="88 lb·ft")
    page = garage.owner.get("/b/1/torques").text
    assert "No source: unverified" in page
    assert "88 lb·in would be usual" in page
    assert "The maker’s figure decides" in page


@pytest.mark.parametrize(
    ("by", "order"),
    [
        ("name", "ABC"),
        ("thread", "CBA"),
        ("torque", "BCA"),
        ("source", "ACB"),
        ("zone", "CAB"),
        ("<b>", "CAB"),
    ],
)
def test_the_list_is_sorted_by_the_server(garage: Garage, by: str, order: str) -> None:
    low, high = zone(garage, 0), zone(garage, 3)
    garage.item("fastener", name="C", zone=low, thread="M6x1", torque="90 lb·in", torque_source="b 9")
    garage.item("fastener", name="A", zone=high, thread="M10", torque="90 N·m", torque_source="a")
    garage.item("fastener", name="B", zone=high, thread="M8", torque="7 lb·ft", torque_source="b 10")
    page = (
        garage.owner.get(
            "/b/1/torques",
        ).text
        if by == "zone"
        else garage.owner.get(f"/b/1/torques?sort={by}").text
    )
    assert "".join(titles(page)) == order
    assert "<b>" not in page
    assert ("<h2>All groups" in page) == (by not in {"zone", "<b>"})


def test_groups_without_a_figure_are_two_lists(garage: Garage) -> None:
    garage.item("fastener", name="Sought", no_figure="y")
    garage.item("fastener", name="Fresh")
    garage.item("fastener", name="Known", torque="25 N·m")
    page = garage.owner.get("/b/1/torques?only=missing").text
    sought, fresh = page.split("<h2>")[1:]
    assert (sought.startswith("Looked for, none found"), titles(sought)) == (True, ["Sought"])
    assert (fresh.startswith("Never looked for"), titles(fresh)) == (True, ["Fresh"])
    assert "No figure: 2" in page


def test_what_is_shown_is_in_the_words_of_the_build_and_what_is_stored_stays(garage: Garage) -> None:
    item = garage.item("fastener", name="Fender bolts")
    with garage.folder.database.unit_of_work() as session:
        session.connection().exec_driver_sql("UPDATE build SET dialect = 'uk'")
    garage.describe(item, name="Fender bolts", n="2")
    assert titles(garage.owner.get("/b/1/torques").text) == ["Wing bolts"]
    assert garage.one("SELECT name FROM item") == "Fender bolts"


def test_an_empty_build_and_an_unknown_one_are_answered(garage: Garage) -> None:
    assert "No fastener group is in this build yet" in garage.owner.get("/b/1/torques").text
    for page in ("torques", "torques/paste", "found"):
        assert garage.owner.get(f"/b/1/{page}").status_code == 200
        assert garage.owner.get(f"/b/7/{page}").status_code == 404
    assert garage.owner.post("/b/7/torques/paste", table="#1;25 N·m").status_code == 404


def test_a_pasted_table_is_written_with_a_line_in_each_history(garage: Garage) -> None:
    first, second = (
        garage.item("fastener", name=name, thread="M8", no_figure="y") for name in ("One", "Two")
    )
    table = "#1\t25 N·m\tblue book, p. 9\r\ntwo\t20 N·m; 90°\t"
    assert garage.helper.post("/b/1/torques/paste", table=table).headers["Location"] == "/b/1/torques"

    one, two = garage.detail(first), garage.detail(second)
    assert (one["torque"], one["torque_source"], one["no_figure"]) == ("25 N·m", "blue book, p. 9", False)
    assert (two["torque"], two["torque_source"], two["thread"]) == ("20 N·m; 90°", "", "M8")
    for item in (first, second):
        verb, device, after = garage.rows(
            "SELECT verb, device, after FROM journal WHERE subject = ? ORDER BY seq DESC", f"item:{item}"
        )[0]
        assert len(after) > len("[]"), "it was written in sight of the lines before it"
        assert (verb, device) == ("edit", garage.one("SELECT id FROM device WHERE role = 'helper'"))
    before = garage.everything()
    assert garage.helper.post("/b/1/torques/paste", table=table).status_code == 302
    assert garage.everything() == before, "the same table again changes nothing"


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("#2;25;book", "Line 2: the torque of “#2”"),
        ("#77;25 N·m;book", "Line 2: there is no item “#77”"),
        ("Twins;25 N·m;book", "Line 2: 2 items are named “Twins”: #2, #3"),
        ("#4;25 N·m;book", "Line 2: “#4” is no fastener group"),
        ("#2;tight;book", "Line 2: the torque of “#2”"),
        ("#1;30 N·m;book", "Line 2: “#1” stands in line 1 already"),
        ("</textarea><script>;25 N·m;book", "Line 2: there is no item"),
    ],
)
def test_one_bad_row_writes_nothing_and_keeps_what_was_pasted(garage: Garage, row: str, says: str) -> None:
    for name in ("One", "Twins", "Twins"):
        garage.item("fastener", name=name)
    garage.item("part", name="Pump")
    before = garage.everything()
    answer = garage.owner.post("/b/1/torques/paste", table=f"#1;25 N·m;book\n{row}")

    assert answer.status_code == 422
    assert says in answer.text
    assert "Nothing is written yet" in answer.text
    kept = row.replace("<", "&lt;").replace(">", "&gt;")
    assert f">\n#1;25 N·m;book\n{kept}</textarea>" in answer.text
    assert garage.everything() == before


@pytest.mark.parametrize("table", ["", " \n;;\n", "Item;Torque;Source", "#1;25 N·m\n" * 5001])
def test_a_table_of_no_rows_or_far_too_many_is_refused(garage: Garage, table: str) -> None:
    answer = garage.owner.post("/b/1/torques/paste", table=table)
    assert answer.status_code == 422
    assert "Paste 1 to 5000 rows at once" in answer.text


def test_many_bad_rows_are_told_in_part_and_counted(garage: Garage) -> None:
    answer = garage.owner.post("/b/1/torques/paste", table="#1;25\n" * 60)
    assert answer.status_code == 422
    assert answer.text.count("Line ") == 50
    assert "70 more after these" in answer.text


def test_a_row_that_fails_while_writing_takes_the_others_back(
    garage: Garage, monkeypatch: pytest.MonkeyPatch
) -> None:
    garage.item("fastener", name="One")
    last = garage.item("fastener", name="Two")

    def edit(session: Any, item_id: str, *values: Any, **named: Any) -> Problem | None:
        return STALE if item_id == last else items.edit_item(session, item_id, *values, **named)

    monkeypatch.setattr(torques, "edit_item", edit)
    before = garage.everything()
    answer = garage.owner.post("/b/1/torques/paste", table="#1;25 N·m\n#2;25 N·m")
    assert answer.status_code == 409
    assert STALE.message in answer.text
    assert garage.everything() == before


def test_an_onlooker_sees_the_values_but_neither_the_box_nor_its_door(garage: Garage) -> None:
    item = garage.item("fastener", name="One")
    assert "/torques/paste" in garage.helper.get("/b/1/torques").text
    assert "/torques/paste" not in garage.onlooker.get("/b/1/torques").text
    assert garage.onlooker.get("/b/1/torques/paste").headers["Location"] == "/b/1/torques"
    assert garage.onlooker.post("/b/1/torques/paste", table="#1;25 N·m").status_code == 403
    answer = garage.owner.client.post("/b/1/torques/paste", data={"table": "#1;25 N·m"})
    assert answer.status_code == 400
    assert garage.detail(item)["torque"] == ""


def test_a_found_m8x125x30_lists_groups_with_missing_pieces_first(garage: Garage) -> None:
    back = garage.item("fastener", name="Back", n="2", thread="M8x1.25x30")
    garage.item("fastener", name="Long", n="2", thread="M8x1.25x45")
    garage.item("fastener", name="Fine", n="2", thread="M8x1x30")
    garage.item("fastener", name="Exact", n="2", thread="M8x30", head="hex flange")
    garage.item("fastener", name="Other", n="2", thread="M10")
    garage.item("fastener", name="Unread")
    assert garage.owner.send(garage.mark(back, "tight")).status_code == 200
    for query in ("thread=M8x1.25x30", "thread=M8x1.25&length=30&head=hex+flange"):
        page = garage.owner.get(f"/b/1/found?{query}").text
        short, others = page.split("<h2>")[1:]
        assert titles(short) == ["Exact", "Long", "Fine"]
        assert titles(others) == ["Back"]
        assert short.startswith("Still short of pieces")
        assert "2 short · M8x30 · hex flange" in short
        assert "another thread: never force it in" in short
        assert "1 group has no thread that can be read" in page


@pytest.mark.parametrize(
    ("typed", "field", "kept"),
    [
        ("thread=blue&length=30&head=hex", "thread", ("blue", "30", "hex")),
        ("thread=&length=30&head=hex", "thread", ("", "30", "hex")),
        ("thread=M8x7x30&length=&head=", "thread", ("M8x7x30", "", "")),
        ("thread=M8&length=long&head=hex", "length", ("M8", "long", "hex")),
        ("thread=M8x1.25x30&length=35&head=hex", "length", ("M8x1.25x30", "35", "hex")),
    ],
)
def test_what_cannot_be_read_is_told_at_its_field_and_the_typing_is_kept(
    garage: Garage, typed: str, field: str, kept: tuple[str, str, str]
) -> None:
    answer = garage.owner.get(f"/b/1/found?{typed}")
    assert answer.status_code == 422
    assert answer.text.count('id="' + field + '-wrong"') == 1
    assert answer.text.count('aria-invalid="true"') == 1
    for name, value in zip(("thread", "length", "head"), kept, strict=True):
        assert f'name="{name}" value="{value}"' in answer.text


def test_a_diameter_that_no_group_has_is_said(garage: Garage) -> None:
    garage.item("fastener", name="One", thread="M8")
    assert "No group has this diameter" in garage.onlooker.get("/b/1/found?thread=M12").text


def test_the_invented_build_opens_in_every_order(busy: Garage) -> None:
    for query in ("", "?sort=torque", "?only=missing", "?sort=thread&only=missing"):
        assert busy.onlooker.get(f"/b/1/torques{query}").status_code == 200
    assert busy.onlooker.get("/b/1/found?thread=M8").status_code == 200


def test_a_pasted_print_for_two_cases_offers_its_values_and_keeps_the_whole(garage: Garage) -> None:
    item = garage.item("fastener", name="Bolts")
    table = "Bolts; Front 30 N·m, rear 40 N·m; book"
    asked = garage.owner.post("/b/1/torques/paste", table=table)

    assert asked.status_code == 422
    assert 'name="choice-1" value="rear 40 N·m"' in asked.text
    wrong = garage.owner.post("/b/1/torques/paste", table=table, **{"choice-1": "50 N·m", "choice-x": "1"})
    assert wrong.status_code == 422
    garage.owner.post("/b/1/torques/paste", table=table, **{"choice-1": "rear 40 N·m"})
    kept = garage.detail(item)
    assert (kept["torque"], kept["torque_print"], kept["torque_read"]) == (
        "rear 40 N·m", "Front 30 N·m, rear 40 N·m", "40 N·m",
    )  # fmt: skip
    assert "1 reading waits" in garage.owner.get("/b/1/torques").text
