import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.csv_lines import write_line
from app.core.lists.bytes import decode
from app.core.lists.text import MOST_ROWS, Table, read_table
from app.core.problem import Problem

CELLS = st.text(st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\ufffd"))


def table(text: str) -> Table:
    found = read_table(text)
    assert isinstance(found, Table), found
    return found


def code(data: bytes | str) -> tuple[str, str]:
    """Return the code of what is wrong, and where."""
    text = decode(data) if isinstance(data, bytes) else data
    found = (text,) if isinstance(text, Problem) else read_table(text)
    assert isinstance(found, tuple), found
    return found[0].code, found[0].where


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_cells_are_parted_by_what_makes_the_columns_known(separator: str, ending: str) -> None:
    rows = [["kind", "name", "note"], ["part", "Coil", "a, b; c"]]
    text = ending.join(separator.join(f'"{cell}"' for cell in row) for row in rows)

    (row,) = table(text).rows

    assert row.cells == {"kind": "part", "name": "Coil", "note": "a, b; c"}


def test_columns_may_stand_in_any_order_and_case() -> None:
    (row,) = table("Torque Source,NAME,one-time,Kind\nbook,Bolt,yes,fastener\n").rows

    assert row.cells == {"torque_source": "book", "name": "Bolt", "one_time": "yes", "kind": "fastener"}


def test_lines_are_counted_as_in_the_file_over_cells_of_several_lines() -> None:
    rows = table('\nsep=,\nkind,note\npart,"one\ntwo\r\nthree"\n\n,\npart,x\n').rows

    assert [row.line for row in rows] == [4, 9]


def test_a_quotation_mark_that_is_not_closed_is_named_where_its_row_begins() -> None:
    assert code('kind,name\npart,a\npart,"b\npart,c\n') == ("torn", "line 3")
    assert code('kind,name\npart,"8" bolt\n') == ("torn", "line 2")
    assert table('kind,name\npart,3/8" bolt\n').rows[0].cells["name"] == '3/8" bolt'


def test_a_column_that_looks_misspelt_is_refused_and_another_one_named() -> None:
    assert code("kind,name,torqe\nfastener,b,25 N·m\n") == ("column-unknown", "line 1, torqe")
    for head in (
        "Torque (N·m)",
        "torque_nm",
        "Torque [ft-lb]",
        "length",
        "Length (in)",
        "count (pcs)",
        "Steps",
    ):
        assert code(f"kind,name,{head}\nfastener,b,25\n")[0] == "column-unknown", head
    assert table("kind,name,part name\npart,a,b\n").unread == ("part_name",)
    assert table("kind,name,price\npart,a,3.50\n").unread == ("price",)
    assert code("kind,name,Name\npart,a,b\n") == ("column-twice", "line 1, name")


@pytest.mark.parametrize(
    "head", ["thread pitch", "Torque checked", "note to self", "step-no", "zone_b", "price"]
)
def test_a_heading_with_more_words_than_a_columns_name_is_another_thing(head: str) -> None:
    (unread,) = table(f"kind,name,{head}\npart,a,b\n").unread

    assert unread == head.lower().replace(" ", "_").replace("-", "_")


@pytest.mark.parametrize(
    "head", ["thread lock", "threadlock", "thread_lock", "Thread-Locker", "THREADLOCKER"]
)
def test_threadlock_is_a_column_of_its_own_however_it_is_spelt(head: str) -> None:
    (row,) = table(f"kind,thread,{head}\nbolt,M8,medium\n").rows

    assert row.cells == {"kind": "bolt", "thread": "M8", "threadlock": "medium"}


def test_two_headings_that_mean_one_column_are_refused() -> None:
    assert code("kind,count,qty\npart,1,2\n") == ("column-twice", "line 1, count")


@pytest.mark.parametrize("text", ["name,count\na,1\n", "just words\n", "a;b\n1;2\n"])
def test_a_list_without_kind_and_step_is_told_the_columns(text: str) -> None:
    assert code(text) == ("no-columns", "line 1")


def test_what_stands_beyond_the_last_column_is_kept_apart() -> None:
    (row,) = table("kind,name,torque\nfastener,Bolt,8,5 N·m\n").rows

    assert row.beyond == ("5 N·m",)


def test_a_list_has_an_end() -> None:
    assert len(table("kind\n" + "part\n" * MOST_ROWS).rows) == MOST_ROWS
    assert code("kind\n" + "part\n" * (MOST_ROWS + 1))[0] == "too-many"


@given(st.lists(CELLS, min_size=1, max_size=4))
def test_cells_written_are_read_again(cells: list[str]) -> None:
    head = ["note", "kind", "name", "place"][: max(2, len(cells))]
    text = write_line(head) + write_line([*cells, ""][: len(head)])
    found = read_table(text)
    kept = {name: cell.strip() for name, cell in zip(head, cells, strict=False) if cell.strip()}

    assert [dict(row.cells) for row in found.rows] == [kept] if isinstance(found, Table) else not kept
