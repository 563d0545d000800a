from app.core.items.items import Edge
from app.core.order.acts import TWICE, InstallException, Plan, PlanStep, Thing
from app.core.order.replacements import Replacements
from app.core.order.reverse import Reverse

STEPS = (PlanStep("S", 0), PlanStep("T", 1))
A, B, C = (
    Thing("a", step="S", off_seq=1),
    Thing("b", step="S", off_seq=2),
    Thing("c", step="T", off_seq=3),
)


def reverse(plan: Plan) -> Reverse:
    replacements = Replacements(plan)
    return Reverse(plan, {t.id: t for t in plan.things if replacements.is_back(t.id)}, replacements)


def test_what_came_off_last_stands_first() -> None:
    at = reverse(Plan((A, B, C), STEPS)).of_thing

    assert sorted(at, key=lambda thing: at[thing]) == ["c", "b", "a"]


def test_a_step_begins_before_its_first_thing_and_ends_behind_its_last_and_before_the_next() -> None:
    found = reverse(Plan((A, B, C), STEPS))
    at = found.of_thing

    assert found.end_of_step("T") <= found.start_of_step("S") < at["b"] < at["a"] < found.end_of_step("S")
    assert found.start_of_step("T") < at["c"] < found.end_of_step("T")


def test_a_step_without_things_that_an_exception_names_has_its_own_place() -> None:
    found = reverse(Plan((A, B), STEPS, install_exceptions=(InstallException("a", "T", TWICE),)))

    assert found.of_thing["T"] < found.of_thing["b"]
    assert found.start_of_step("T") < found.of_thing["T"] < found.of_thing["b"]


def test_a_new_thing_stands_where_the_last_taken_off_of_those_it_replaces_stood() -> None:
    new = Thing("n", step="S")
    old = (Edge("n", "replaces", "a"), Edge("n", "replaces", "c"))

    at = reverse(Plan((A, B, C, new), STEPS, edges=old)).of_thing

    assert at["n"] < at["b"]


def test_a_step_of_the_way_back_ends_with_its_own_line() -> None:
    found = reverse(Plan((A, C, Thing("T", step="T")), STEPS))

    assert found.of_thing["T"] - 1 < found.end_of_step("T") <= found.of_thing["T"]
