import pytest

from app.core.items.items import Edge, Fastener
from app.core.lists.listed import ListedItem, ListPlan
from app.core.lists.lists import read_list_text


def plan(*lines: str) -> ListPlan:
    found = read_list_text("\n".join(lines))
    assert isinstance(found, ListPlan), found
    return found


def item(head: str, row: str) -> ListedItem:
    (found,) = plan(head, row).items
    return found


@pytest.mark.parametrize("typed", ["20", "20.0", "20,0", "20 min"])
def test_a_whole_number_may_come_as_a_spreadsheet_shows_it(typed: str) -> None:
    assert plan("step;kind;minutes", f"A;step;{typed}").steps[0].minutes == 20


def test_no_figure_found_is_not_the_same_as_no_word() -> None:
    assert item("kind,torque", "bolt,No figure").detail == Fastener(no_figure=True)
    assert item("kind,torque", "bolt,").detail == Fastener()


@pytest.mark.parametrize("nothing", ["-", "–", "—", "n/a", "N/A"])
def test_a_dash_says_as_much_as_an_empty_cell(nothing: str) -> None:
    columns = "people,minutes,direction,zone,count,thread,length_mm,grade,torque,torque_source,holds,place"
    cells = ",".join([nothing] * 12)

    assert plan(f"kind,step,name,{columns}", f"bolt,S,B,{cells}") == plan("kind,step,name", "bolt,S,B")


def test_a_name_a_note_and_an_id_may_be_a_dash() -> None:
    found = plan("id,kind,name,note", "-,part,-,-")
    assert [(item.key, item.name, item.note) for item in found.items] == [("-", "-", "-")]


def test_several_rows_are_named_by_semicolons_also_in_a_list_parted_by_semicolons() -> None:
    expected = (Edge("b", "holds", "a"), Edge("b", "holds", "c"))

    assert plan("id,kind,holds", "a,part,", "b,bolt,a; c;a", "c,part,").edges == expected
    assert plan("id;kind;holds", "a;part;", 'b;bolt;"a;c"', "c;part;").edges == expected
