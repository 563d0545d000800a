"""A list on the page: looked at first, put in once, refused whole."""

import csv
import io
import re
from dataclasses import replace
from html import unescape
from io import BytesIO
from typing import Any

import pytest

from app.core.items.kinds import Kind
from app.core.lists import columns
from app.core.lists.column import Column, Of
from app.core.lists.columns import TABLE
from app.core.lists.forms import Text
from tests.web.conftest import Garage

COLUMNS = tuple(column.name for column in TABLE.all if column.always)
LIST = (
    "id,step,kind,name,torque,holds,zone,place\n"
    "a,Pump off,part,Pump,,,Roof,crate 9\n"
    "b,Pump off,bolt,Bolts,22 N·m,a,,\n"
)


def look(garage: Garage, text: str = "", **sent: Any) -> tuple[int, str]:
    data = {"csrf_token": garage.owner.token, "text": text, "what": "look", **sent}
    answer = garage.owner.client.post("/b/1/list", data=data, content_type="multipart/form-data")
    answer.request.input_stream.close()  # what the test's client kept of a long form
    return answer.status_code, answer.text


def test_a_list_is_looked_at_before_anything_is_written(garage: Garage) -> None:
    before = garage.everything()
    status, page = look(garage, LIST)

    assert status == 200
    assert "2 items" in page
    assert "New steps: Pump off." in page
    assert "New zones: Roof." in page
    assert "New places: crate 9." in page
    assert "Put 2 rows in" in page
    assert garage.everything() == before


def test_what_was_looked_at_is_put_in_once(garage: Garage) -> None:
    _, page = look(garage, LIST)
    carried = {
        name: re.search(rf'name="{name}" value="([^"]+)"', page)[1].replace("&#34;", '"')  # type: ignore[index] # a miss fails the test
        for name in ("list_id", "text")
    }
    for _ in range(2):
        answer = garage.owner.post("/b/1/list", what="put", **carried)
        assert answer.status_code == 302

    assert garage.rows("SELECT name, kind FROM item ORDER BY number") == [
        ("Pump", "part"),
        ("Bolts", "fastener"),
    ]
    assert garage.one("SELECT count(*) FROM journal WHERE id = ?", carried["list_id"]) == 1
    assert "Bolts" in garage.owner.get("/b/1/put-back").text


def test_bad_rows_are_named_and_what_was_typed_is_kept(garage: Garage) -> None:
    before = garage.everything()
    bad = LIST.replace("22 N·m", "22")
    for what in ("look", "put"):
        answer = garage.owner.post("/b/1/list", text=bad, what=what)

        assert answer.status_code == 422
        assert "line 3, torque: The number 22 has no unit" in answer.text
        assert "Bolts,22,a" in answer.text
    assert garage.everything() == before


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_a_file_is_read_in_its_own_coding(garage: Garage, encoding: str) -> None:
    file = BytesIO("kind;name\npart;Kühler\n".encode(encoding))
    answer = garage.owner.post("/b/1/list", file=(file, "list.csv"), what="look")

    assert answer.status_code == 200
    assert "Kühler" in answer.text


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04", b"\x00\x01\x02", b"kind\n"])
def test_what_is_no_list_is_refused_on_the_page(garage: Garage, content: bytes) -> None:
    answer = garage.owner.post("/b/1/list", file=(BytesIO(content), "x.csv"), what="put")

    assert answer.status_code == 422
    assert "one thing is not right yet" in answer.text


def test_half_characters_that_a_script_sends_are_refused(garage: Garage) -> None:
    assert look(garage, "kind,name\npart,a�\n")[0] == 422


def test_a_list_of_many_rows_goes_through_the_page(garage: Garage) -> None:
    rows = "".join(f"part,thing {n} {'x' * 90}\n" for n in range(7000))
    assert len(rows) > 700_000

    status, page = look(garage, f"kind,name\n{rows}")

    assert status == 200
    assert "Put 7000 rows in" in page


def test_a_larger_list_is_sent_to_the_command(garage: Garage) -> None:
    file = BytesIO(b"kind,name\n" + b"part,x\n" * 1_300_000)
    status, page = look(garage, file=(file, "x.csv"))

    assert status == 422
    assert "putback import" in page


def test_a_field_longer_than_any_list_is_refused(garage: Garage) -> None:
    assert look(garage, "x" * (17 << 20))[0] == 413


def test_a_list_that_is_there_already_is_told_so(garage: Garage) -> None:
    garage.owner.post("/b/1/list", text=LIST, what="put")

    status, page = look(garage, LIST)
    assert status == 422
    assert "here already" in page


def test_the_build_comes_as_a_list_that_spreadsheets_read_as_utf_8(busy: Garage) -> None:
    answer = busy.owner.get("/b/1/list.csv")
    head, *rows = csv.reader(io.StringIO(answer.get_data().decode("utf-8-sig"), newline=""))

    assert answer.get_data().startswith(b"\xef\xbb\xbf")
    assert "attachment" in answer.headers["Content-Disposition"]
    assert set(COLUMNS) <= set(head)
    assert len(rows) > busy.one("SELECT count(*) FROM item")


def test_an_unknown_build_has_no_list(garage: Garage) -> None:
    assert garage.owner.get("/b/9/list").status_code == 404
    assert garage.owner.get("/b/9/list.csv").status_code == 404
    assert garage.owner.post("/b/9/list", text=LIST).status_code == 404


def test_the_page_tells_every_column_that_is_declared(
    garage: Garage, monkeypatch: pytest.MonkeyPatch
) -> None:
    made_up = Column("washers", "from the head down", Of.DETAIL, "washers", Text(), kinds=(Kind.FASTENER,))
    monkeypatch.setattr(columns, "TABLE", replace(TABLE, all=(*TABLE.all, made_up)))
    page = unescape(garage.owner.get("/b/1/list").text)

    assert "<b>washers</b>: from the head down (fastener; else kept in the note)" in page
    assert "<b>height</b>: where the vehicle stands: wheels, stands, lift, ground, bench" in page
    for column in TABLE.all:
        assert f"<b>{column.name}</b>: {column.help}</li>" in page


def test_a_list_with_the_heading_thread_lock_fills_that_field(garage: Garage) -> None:
    garage.owner.post("/b/1/list", text="kind,name,thread lock\nbolt,Bolts,medium\n", what="put")

    assert '"threadlock": "medium"' in garage.one("SELECT detail FROM item")
    bolts = garage.one("SELECT id FROM item")
    assert "medium" in garage.owner.get(f"/i/{bolts}").text
