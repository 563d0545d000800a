from app.core.items.items import Fluid
from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list_text


def plan(*lines: str) -> ListPlan:
    found = read_list_text("\n".join(lines))
    assert isinstance(found, ListPlan), found
    return found


def wrong(*lines: str) -> list[tuple[str, str]]:
    """Return where something is wrong, and the code of what it is."""
    found = read_list_text("\n".join(lines))
    assert isinstance(found, tuple), found
    return [(problem.where, problem.code) for problem in found]


def test_a_row_with_a_step_alone_makes_the_step_in_its_place() -> None:
    found = plan(
        "id,step,kind,name,direction,minutes",
        "s1,,step,Drain,off only,20",
        ",Fuel,,,,",
        ",s1,fluid: coolant,Coolant,,",
        "s3,,step,Fill,on_only,",
        ",s2,part,Battery,,",
        "s2,,Step,Battery off,,10",
    )

    assert [(s.name, s.direction, s.minutes) for s in found.steps] == [
        ("Drain", "off_only", 20),
        ("Fuel", None, None),
        ("Fill", "on_only", None),
        ("Battery off", None, 10),
    ]
    assert [(i.name, i.step) for i in found.items] == [("Coolant", "Drain"), ("Battery", "Battery off")]
    assert found.items[0].detail == Fluid(system="coolant")


def test_what_is_said_of_a_step_may_stand_with_any_of_its_items() -> None:
    assert plan("step,height,kind,name", "A,,part,x", "a,lift,part,y").steps[0].height == "lift"
    assert wrong("height,kind", "lift,part") == [("line 2, height", "step-missing")]


def test_the_row_of_a_step_decides_about_it_and_else_the_first_of_its_items_with_a_sentence() -> None:
    head = "step,height,people,kind,name"
    items = plan(head, "A,lift,2,part,x", "A,stands,,part,y")
    both = plan(head, "A,lift,,part,x", "A,bench,3,step,", "A,lift,1,part,y")

    assert (items.steps[0].height, items.steps[0].people) == ("lift", 2)
    assert [(r.where, r.code) for r in items.remarks] == [("line 3, height", "step-differs")]
    assert "line 2" in items.remarks[0].message
    assert (both.steps[0].height, both.steps[0].people) == ("bench", 3)
    assert [r.where for r in both.remarks] == ["line 3, height", "line 4, height", "line 4, people"]
    assert wrong(head, "A,lift,,step,", "A,stands,,step,") == [("line 3, height", "step-differs")]


def test_a_step_whose_items_go_different_ways_goes_both_ways() -> None:
    found = plan(
        "step,direction,kind", "A,off only,fluid", "A,on only,fluid", "B,both,step", "B,on only,part"
    )

    assert [step.direction for step in found.steps] == ["both", "both"]
    assert [remark.where for remark in found.remarks] == ["line 3, direction", "line 5, direction"]


def test_two_steps_do_not_share_a_name() -> None:
    assert wrong("id,step,kind", "s1,A,step", "s2,a,step") == [("line 3, step", "step-twice")]
    assert wrong("step,kind,name", "E,step,Drain", "E,step,Fuel") == [("line 3, step", "step-twice")]
    assert wrong("id,kind", "s1,step") == [("line 2, step", "step-nameless")]
    assert len(plan("step,kind", "A,step", "A,", "A,part").steps) == 1
