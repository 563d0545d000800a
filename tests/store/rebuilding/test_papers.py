from app.core.items.bodies.base import Body
from app.core.items.bodies.papers import AddPhoto, AddSheet, EditTag, EditTool, GivePhoto, GiveTag, VoidTag
from app.core.items.bodies.things import Treat
from app.core.items.journal import Line
from app.store.rebuilding.papers import (
    ADAPTER_FIELDS,
    tell_outstanding,
    tell_photo,
    tell_sheet,
    tell_tag,
    tell_tool,
)
from app.store.rebuilding.tables import Tables, Told


def told(subject: str, said: Body, *, at: str = "2031-05-04T12:00:00Z") -> Told:
    return Told(Line("line", subject, said.VERB, said.stored()), "build", at)


def test_a_sheet_brings_its_tags_blank_and_each_is_given_and_void_afterwards() -> None:
    tables = Tables()
    sheet = AddSheet(nr=1, grid="a4", codes=("2222228", "7K3F9QQ"))
    tell_sheet(tables, told("sheet:s", sheet), sheet)
    give, void = GiveTag(to="item:a"), VoidTag()
    tell_tag(tables, told("tag:7K3F9QQ", give), give)
    tell_tag(tables, told("tag:7K3F9QQ", void, at="later"), void)

    blank = {"sheet_id": "s", "subject": None, "void_at": None}
    assert tables.tag == {
        "2222228": {**blank, "code": "2222228"},
        "7K3F9QQ": {**blank, "code": "7K3F9QQ", "subject": "item:a", "void_at": "later"},
    }


def test_a_tag_of_no_sheet_is_what_its_line_says() -> None:
    tables, said = Tables(), EditTag(sheet=None, to="item:a", void_at=None)
    tell_tag(tables, told("tag:2222228", said), said)

    assert tables.tag["2222228"]["subject"] == "item:a"
    assert tables.tag["2222228"]["sheet_id"] is None


def test_a_photo_shows_what_it_was_taken_of_and_what_it_was_given_to_each_once() -> None:
    tables = Tables()
    taken, given = AddPhoto(sha256="a", shows=("item:a",), width=8), GivePhoto(shows=("item:a", "zone:z"))
    tell_photo(tables, told("photo:p", taken), taken)
    tell_photo(tables, told("photo:p", given), given)

    assert [*tables.shows] == [("p", "item:a"), ("p", "zone:z")]
    assert (tables.photo["p"]["width"], tables.photo["p"]["line_id"]) == (8, "line")


def test_a_tool_that_was_removed_is_gone() -> None:
    rows: dict[str, dict[str, object]] = {}
    made, gone = EditTool(name="foot", length_mm=40.0), EditTool(deleted="foot")
    tell_tool(rows, told("adapter:a", made), made, ADAPTER_FIELDS)
    assert rows == {"a": {"id": "a", "name": "foot", "length_mm": 40.0}}

    tell_tool(rows, told("adapter:a", gone), gone, ADAPTER_FIELDS)
    assert rows == {}


def test_what_is_waited_for_names_the_line_that_ended_it_and_goes_where_it_is_taken_off() -> None:
    tables = Tables()
    wish, came = Treat(wait="w", what="bolts", rev=1), Treat(wait="w", done_on="2031-05-04", rev=2)
    tell_outstanding(tables, told("item:a", wish), wish)
    tell_outstanding(tables, told("item:a", came), came)
    assert (tables.outstanding["w"]["what"], tables.outstanding["w"]["done_line"]) == ("bolts", "line")

    off = Treat(wait="w", deleted=True)
    tell_outstanding(tables, told("item:a", off), off)
    assert tables.outstanding == {}
