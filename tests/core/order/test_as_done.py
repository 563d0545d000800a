from hypothesis import given
from hypothesis import strategies as st

from app.core.order.acts import PlanStep, Thing
from app.core.order.as_done import order_as_done

STEPS = tuple(PlanStep(name, nth) for nth, name in enumerate("ABCDE"))


def off(row: str) -> list[Thing]:
    return [Thing(f"{name}{nth}", step=name, off_seq=nth + 1) for nth, name in enumerate(row)]


def test_a_teardown_in_the_plans_order_has_nothing_to_take_over() -> None:
    found = order_as_done(STEPS, off("AABCCDE"))

    assert found.done == found.planned == tuple("ABCDE")
    assert not found.differs


def test_the_fewest_steps_that_have_to_move_are_named() -> None:
    found = order_as_done(STEPS, off("BCDAE"))

    assert found.moved == ("A",)
    assert found.done == tuple("BCDAE")


def test_one_late_mark_moves_no_step() -> None:
    assert not order_as_done(STEPS, off("AAABBBA")).differs


def test_a_step_in_which_nothing_came_off_stays_behind_the_one_it_follows() -> None:
    found = order_as_done(STEPS, off("CA"))

    assert found.done == tuple("CDEAB")
    assert len(found.moved) == 1


def test_nothing_off_is_nothing_to_take_over() -> None:
    assert order_as_done(STEPS, []).done == tuple("ABCDE")


@given(st.permutations("ABCDE"))
def test_what_stays_is_in_the_plans_order_and_taking_over_leaves_nothing_to_take_over(row: list[str]) -> None:
    found = order_as_done(STEPS, off("".join(row)))
    stay = [step for step in found.done if step not in found.moved]
    again = order_as_done([PlanStep(step, nth) for nth, step in enumerate(found.done)], off("".join(row)))

    assert stay == sorted(stay)
    assert found.done == tuple(row)
    assert not again.differs
