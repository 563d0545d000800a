"""Torques in a list beside the torque itself: the whole print, what it is read as, the conditions."""

from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list
from app.core.problem import Problem

HEAD = "kind,name,torque,torque_print,torque_read_as,torque_note"
TWO = "Front 30 N·m, rear 40 N·m"


def read(row: str) -> ListPlan | tuple[Problem, ...]:
    return read_list(f"{HEAD}\n{row}\n".encode())


def detail(row: str) -> object:
    plan = read(row)
    assert isinstance(plan, ListPlan), plan
    return plan.items[0].detail


def codes(row: str) -> list[str]:
    plan = read(row)
    return [] if isinstance(plan, ListPlan) else [problem.code for problem in plan]


def test_conditions_and_the_whole_print_of_a_chosen_value_are_kept() -> None:
    group = detail(f'bolt,Bolts,rear 40 N·m,"{TWO}",,cold')

    assert (group.torque, group.torque_print, group.torque_note) == ("rear 40 N·m", TWO, "cold")  # type: ignore[attr-defined] # a fastener


def test_a_print_that_does_not_give_the_value_is_refused() -> None:
    assert codes(f'bolt,Bolts,50 N·m,"{TWO}",,') == ["print-other"]


def test_a_text_for_two_cases_is_refused_with_its_values() -> None:
    plan = read(f'bolt,Bolts,"{TWO}",,,')

    assert not isinstance(plan, ListPlan)
    assert "«Front 30 N·m», «rear 40 N·m»" in plan[0].message


def test_a_reading_that_is_none_is_refused() -> None:
    assert codes("bolt,Bolts,25 N·m,,quite tight,") != []
