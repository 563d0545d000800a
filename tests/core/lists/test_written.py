import pytest

from app.core.csv_lines import write_line
from app.core.items.items import Fastener, Finding, Part
from app.core.items.kinds import Kind
from app.core.lists.columns import TABLE
from app.core.lists.listed import ListedItem, ListedStep, ListPlan
from app.core.lists.lists import read_list_text
from app.core.lists.written import item_cells, step_cells

BOLTS = ListedItem(
    2, "b", Kind.FASTENER, "Pump bolts", Fastener("M8x1.25x30", "8.8", torque="22 N·m", one_time="yes"),
    step="Pump off", zone="front", n=3, place=("bag 2", "crate 1"), destiny="left_out", note="long one left",
)  # fmt: skip
PUMP = ListedItem(2, "a", Kind.PART, "Pump", Part(), n=1)
CRACK = ListedItem(2, "c", Kind.FINDING, "Crack", Finding(what="Crack"))
PUMP_OFF = ListedStep(2, "Pump off", "stands", 2, 40, "off_only")


def read(cells: dict[str, str]) -> ListPlan:
    found = read_list_text(",".join(cells) + "\n" + write_line(list(cells.values())))
    assert isinstance(found, ListPlan), found
    return found


@pytest.mark.parametrize("item", [BOLTS, PUMP, CRACK])
def test_the_cells_of_an_item_are_read_as_the_same_item(item: ListedItem) -> None:
    assert read(item_cells(item, {})).items == (item,)


def test_the_cells_of_a_step_are_read_as_the_same_step() -> None:
    found = read(step_cells(PUMP_OFF))

    assert found.steps == (PUMP_OFF,)
    assert found.items == ()


def test_what_an_item_leads_to_stands_in_the_column_of_its_relation() -> None:
    cells = item_cells(BOLTS, {"holds": ("a", "c")})

    assert cells["holds"] == "a;c"
    assert cells["joins"] == ""


def test_every_column_has_a_cell_and_what_the_kind_has_not_got_is_empty() -> None:
    cells = item_cells(PUMP, {})

    assert tuple(cells) == tuple(step_cells(PUMP_OFF)) == TABLE.names
    assert (cells["torque"], cells["thread"], cells["minutes"]) == ("", "", "")
