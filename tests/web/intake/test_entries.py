"""What phones send: once and for all, whatever it is."""

import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.core.items.kinds import Act, Kind
from app.store.db.clock import new_id
from tests.web.conftest import Garage

JPEG_OF_A_PAGE = b"\xff\xd8\xff<html><script>alert(1)</script></html>"


def test_the_same_entry_sent_twice_makes_one_row_and_gets_the_same_answer(garage: Garage) -> None:
    entry = garage.capture(code=garage.blank())
    photo = garage.photo()
    first = garage.helper.send(entry, photo)
    after = garage.everything()
    second = garage.helper.send(entry, photo)

    assert first.status_code == 200
    assert (second.status_code, second.json) == (200, first.json)
    assert garage.everything() == after
    assert garage.one("SELECT count(*) FROM item") == 1
    assert garage.one("SELECT count(*) FROM photo") == 1


def test_a_mark_sent_twice_is_one_line(garage: Garage) -> None:
    item = garage.item()
    entry = garage.mark(item, "seated")
    answers = [garage.helper.send(entry) for _ in range(3)]
    assert [answer.json for answer in answers] == [{"line": entry["id"]}] * 3
    assert garage.one("SELECT count(*) FROM journal WHERE id = ?", entry["id"]) == 1


def test_another_entry_under_a_known_number_is_told_so(garage: Garage) -> None:
    item = garage.item()
    entry = garage.mark(item, "seated")
    assert garage.helper.send(entry).status_code == 200
    answer = garage.helper.send(entry | {"body": {"act": "latched"}})
    assert answer.status_code == 409
    assert garage.state(item)["positions"][0]["act"] == "seated"


def test_an_entry_of_another_folder_stays_on_the_phone(garage: Garage) -> None:
    before = garage.everything()
    answer = garage.helper.send(garage.capture(code=garage.blank(), folder="f" * 32))
    assert answer.status_code == 409
    assert "stays on the phone" in answer.text
    assert garage.everything() == before


def test_a_photo_with_a_tag_makes_the_line_and_one_without_waits_in_the_tray(garage: Garage) -> None:
    code = garage.blank()
    with_tag = garage.helper.send(garage.capture(kind="fastener"), garage.photo(code)).json or {}
    without = garage.helper.send(garage.capture(), garage.photo()).json or {}

    assert [(found["code"], found["state"], found["number"]) for found in with_tag["found"]] == [
        (code, "new", 1)
    ]
    assert with_tag["tray"] is False
    assert without == {"found": [], "photo": without["photo"], "tray": True}
    assert garage.rows("SELECT kind FROM item") == [("fastener",)]
    assert without["photo"] in garage.owner.get("/b/1/tray").text


@pytest.mark.parametrize(
    ("photo", "sentence"),
    [
        (b"", "arrived empty"),
        (b"%PDF-1.7 not a photo", "not a photo"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "not a photo"),
        (b"GIF89a" + bytes(40), "not a photo"),
        (JPEG_OF_A_PAGE, "damaged"),
        (b"\0\0\0\x18ftypheic" + bytes(40), "HEIC"),
    ],
)
def test_what_is_no_photo_is_refused_with_a_sentence_and_nothing_is_written(
    garage: Garage, photo: bytes, sentence: str
) -> None:
    before, code = garage.everything(), garage.blank()
    answer = garage.helper.send(garage.capture(code=code), photo)
    assert answer.status_code == 422
    assert sentence in (answer.json or {})["problem"]
    assert garage.everything() == before


def test_a_photo_of_which_only_part_arrived_is_refused(garage: Garage) -> None:
    before, whole = garage.everything(), garage.photo()
    for share in (0.05, 0.5, 0.95):
        answer = garage.helper.send(garage.capture(code=garage.blank()), whole[: int(len(whole) * share)])
        assert answer.status_code == 422
        assert "only part of it arrived" in (answer.json or {})["problem"]
    assert garage.everything() == before


def test_a_photo_over_the_limit_is_refused(garage: Garage) -> None:
    garage.app.config["MAX_CONTENT_LENGTH"] = 50_000
    before = garage.everything()
    assert len(garage.photo()) < 50_000
    answer = garage.helper.send(garage.capture(code=garage.blank()), garage.photo() + bytes(50_000))
    assert answer.status_code == 413
    assert garage.everything() == before


def test_a_photo_with_more_pixels_than_any_phone_takes_is_refused(garage: Garage) -> None:
    header = garage.photo()
    at = header.index(b"\xff\xc0") + 5
    bomb = header[:at] + b"\xff\x00\xff\x00" + header[at + 4 :]
    before = garage.everything()
    answer = garage.helper.send(garage.capture(code=garage.blank()), bomb)
    assert answer.status_code == 422
    assert "megapixels" in (answer.json or {})["problem"]
    assert garage.everything() == before


@pytest.mark.parametrize(
    "change",
    [
        {"id": "short"},
        {"id": None},
        {"build": "0" * 32},
        {"subject": "item:x"},
        {"subject": "tag:7K3F9QQ"},
        {"body": {}},
        {"body": {"act": "filled"}},
        {"body": {"act": ["seated"]}},
        {"body": {"act": "seated", "pos": []}},
        {"body": {"act": "seated", "pos": [0]}},
        {"body": {"act": "seated", "pos": "all"}},
        {"body": {"act": "seated", "stage": "two"}},
        {"body": {"act": "seated", "piece": {}}},
        {"verb": "undo", "body": {"line": 7}},
        {"verb": "dispose", "body": {"destiny": "eaten"}},
        {"verb": "fate", "body": {"fate": {}}},
        {"after": [1]},
    ],
)
def test_a_line_that_cannot_be_read_is_refused_with_a_sentence(
    garage: Garage, change: dict[str, Any]
) -> None:
    entry, before = garage.mark(garage.item(), "seated") | change, garage.everything()
    answer = garage.helper.send(entry)
    assert answer.status_code == 422
    assert (answer.json or {})["problem"].endswith((".", "?"))
    assert garage.everything() == before


@pytest.mark.parametrize(
    "change",
    [
        {"verb": "give"},
        {"verb": "explode"},
        {"body": []},
        {"body": {"act": "seated", "heat": 40}},
        {"after": "all"},
        {"type": "form", "form": "paint", "fields": []},
    ],
)
def test_an_entry_of_an_unknown_form_is_kept_for_the_owner(garage: Garage, change: dict[str, Any]) -> None:
    item = garage.item()
    entry, before = garage.mark(item, "seated") | change, garage.state(item)

    answer = garage.helper.send(entry)

    assert answer.status_code == 202
    assert "kept for the owner" in (answer.json or {})["quarantined"]
    assert garage.state(item) == before
    assert "the program does not know its form" in garage.owner.get("/b/1/crew").text


def test_a_form_that_a_phone_kept_says_what_its_page_would_have_said(garage: Garage) -> None:
    item = garage.item()
    fields = [["verb", "mark"], ["act", "seated"], *(["after", tip] for tip in garage.state(item)["tips"])]
    entry = garage.mark(item, "seated", type="form", form="mark", fields=fields)
    for key in ("verb", "body", "after"):
        del entry[key]

    assert garage.helper.send(entry).status_code == 200
    assert garage.state(item)["positions"][0]["act"] == "seated"
    refused = garage.helper.send(entry | {"id": new_id(), "fields": [*fields, ["has_pos", "1"]]})
    assert (refused.status_code, "Tick at least one" in refused.text) == (422, True)


@pytest.mark.parametrize(
    "sent",
    [
        "",
        "no json",
        "[]",
        "7",
        "null",
        '{"folder": NaN}',
        "[" * 100_000,
        '{"id": "\\ud800", "folder": "\\ud800"}',
    ],
)
def test_what_is_no_entry_is_refused_with_a_sentence(garage: Garage, sent: str) -> None:
    answer = garage.helper.send(sent)
    assert answer.status_code == 422
    assert "cannot be read" in (answer.json or {})["problem"]


def test_half_a_sign_in_an_entry_is_refused(garage: Garage) -> None:
    text = json.dumps(garage.capture(code=garage.blank(), zone="?")).replace("?", "\\ud800")
    assert garage.helper.send(text).status_code == 422


def test_a_move_into_a_place_that_has_not_come_yet_is_kept_and_shown_as_nowhere(garage: Garage) -> None:
    garage.owner.post("/b/1/places", name="crate 3")
    place = garage.one("SELECT id FROM place")
    entry = garage.mark("", "") | {"subject": f"place:{place}", "verb": "move"}

    assert garage.helper.send(entry | {"body": {"place": {}}}).status_code == 422
    assert garage.helper.send(entry | {"body": {"place": "0" * 32}}).status_code == 200
    for address in (f"/places/{place}", "/b/1/places"):
        assert "crate 3" in garage.owner.get(address).text


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)
bodies = st.fixed_dictionaries(
    {},
    optional={
        "act": st.sampled_from([act.value for act in Act]) | anything,
        "pos": st.lists(st.integers(-1, 5), max_size=3) | anything,
        "stage": st.integers() | anything,
        "piece": st.sampled_from(["", "renewed", "spare", "lost"]) | anything,
        "destiny": st.sampled_from(["refit", "left_out", "undecided"]) | anything,
        "fate": st.sampled_from(["sold", "pattern"]) | anything,
        "place": anything,
        "line": st.sampled_from(["0" * 32]) | anything,
        "reached": anything,
        "reason": anything,
        "alone": anything,
    },
)
fields: dict[str, st.SearchStrategy[Any]] = {
    "type": st.sampled_from(["line", "capture"]) | anything,
    "verb": st.sampled_from(["mark", "undo", "settle", "dispose", "count", "move", "fate", "pass"])
    | anything,
    "body": bodies | anything,
    "after": st.lists(st.just("0" * 32), max_size=1) | anything,
    "kind": st.sampled_from([kind.value for kind in Kind]) | anything,
    "act": st.sampled_from([act.value for act in Act]) | anything,
    "code": anything,
    "subject": anything,
    "item": anything,
    "step": anything,
    "zone": anything,
    "person": anything,
    "at": anything,
    "build": anything,
}
one_change = st.sampled_from(sorted(fields)).flatmap(lambda key: st.fixed_dictionaries({key: fields[key]}))
changes = st.builds(
    lambda n, first, second: {"id": f"{n:032x}", **first, **second},
    st.integers(0, 1 << 127),
    one_change | st.fixed_dictionaries({"body": bodies.map(lambda body: {"act": "tight"} | body)}),
    one_change | st.just({}),
)


@settings(max_examples=200, suppress_health_check=list(HealthCheck))
@given(changes, st.booleans())
def test_no_entry_whatever_makes_the_server_fail_nor_any_page_after_it(
    busy: Garage, change: dict[str, Any], whole: bool
) -> None:
    item = busy.one("SELECT id FROM item WHERE kind = 'fastener'")
    entry = busy.mark(item, "tight") | {"item": new_id()} | change
    answer = busy.helper.send(entry if whole else change)
    assert answer.status_code in {200, 202, 409, 422}, answer.text
    if answer.status_code == 202:
        assert busy.owner.get("/b/1/crew").status_code == 200
    if answer.status_code == 200:
        for address in (f"/i/{item}", "/b/1/put-back", "/b/1/status", "/b/1/ledger?all"):
            assert busy.helper.get(address).status_code == 200, address


@settings(max_examples=100, suppress_health_check=list(HealthCheck))
@given(anything)
def test_no_json_whatever_makes_the_server_fail(garage: Garage, sent: Any) -> None:
    assert garage.helper.send(json.dumps(sent)).status_code in {409, 422}
