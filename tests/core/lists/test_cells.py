import pytest

from app.core.lists.listed import ListedItem, ListPlan
from app.core.lists.lists import read_list_text


def plan(*lines: str) -> ListPlan:
    found = read_list_text("\n".join(lines))
    assert isinstance(found, ListPlan), found
    return found


def item(head: str, row: str) -> ListedItem:
    (found,) = plan(head, row).items
    return found


def wrong(*lines: str) -> list[tuple[str, str]]:
    """Return where something is wrong, and the code of what it is."""
    found = read_list_text("\n".join(lines))
    assert isinstance(found, tuple), found
    return [(problem.where, problem.code) for problem in found]


@pytest.mark.parametrize(
    ("head", "row", "where", "says"),
    [
        ("kind,name", ",x", "kind", "kind-missing"),
        ("kind,name", "thing,x", "kind", "kind-unknown"),
        ("step,kind,minutes", "A,step,-1", "minutes", "number"),
        ("step,kind,minutes", "A,step,7.5", "minutes", "number"),
        ("step,kind,minutes", "A,step,6001", "minutes", "number"),
        ("step,kind,people", "A,step,0", "people", "number"),
        ("step,kind,people", "A,step,10", "people", "number"),
        ("step,kind,height", "A,step,moon", "height", "word-unknown"),
        ("step,kind,direction", "A,step,sideways", "direction", "word-unknown"),
        ("kind,count", "part,0", "count", "number"),
        ("kind,count", "part,1000", "count", "number"),
        ("kind,count", "part,many", "count", "number"),
        ("kind,count", "part,1e3", "count", "number"),
        ("kind,torque", "bolt,25", "torque", "unit-missing"),
        ("kind,torque", "part,25", "torque", "unit-missing"),
        ("kind,torque", "bolt,loose", "torque", "value-missing"),
        ("kind,thread", "bolt,thick", "thread", "thread-unreadable"),
        ("kind,thread,length_mm", "bolt,M8,-3", "length_mm", "number"),
        ("kind,thread,length_mm", "bolt,M8x1.25x30,35", "length_mm", "length-differs"),
        ("kind,thread,length_mm", "bolt,1/8 NPT,35", "length_mm", "length-alone"),
        ("kind,one_time", "bolt,maybe", "one_time", "word-unknown"),
        ("kind,disposition", "part,sell", "disposition", "word-unknown"),
        ("id,kind,holds", "a,bolt,a", "holds", "names-itself"),
        ("id,kind,covers", "a,part,b", "covers", "id-unknown"),
        ("kind,name", f"part,{'n' * 121}", "name", "too-long"),
        ("kind,place", f"part,{'n' * 61}", "place", "too-long"),
        ("step,kind,torque", "A,step,25 N·m", "torque", "step-has-none"),
    ],
)  # fmt: skip
def test_a_bad_cell_is_named_with_line_column_and_reason(head: str, row: str, where: str, says: str) -> None:
    assert wrong(head, row) == [(f"line 2, {where}", says)]


def test_a_formula_is_kept_as_text() -> None:
    assert item("kind,name,note", "part,=1+1,'@x").name == "=1+1"
    assert item("kind,name,note", "part,=1+1,'@x").note == "@x"
