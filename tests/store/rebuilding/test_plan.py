from app.core.items.bodies.base import Body
from app.core.items.bodies.plan import AddBuild, AddStep, EditBuild, EditStep, StepBody
from app.core.items.bodies.things import AddItem, EditItem
from app.core.items.journal import Line
from app.store.rebuilding.plan import tell_build, tell_item, tell_step
from app.store.rebuilding.tables import Tables, Told


def told(subject: str, said: Body, *, at: str = "2031-05-04T12:00:00Z") -> Told:
    return Told(Line("line", subject, said.VERB, said.stored()), "build", at)


def plan_of_two() -> Tables:
    """A build with the steps a and b, of which a is done before b, and the item i in b."""
    tables = Tables()
    steps = (StepBody(id="a", position=0, name="A", rev=1), StepBody(id="b", position=1, name="B", rev=1))
    made = AddBuild(nr=1, title="one", steps=steps, step_edges=(("a", "b", "so"),))
    tell_build(tables, told("build:build", made), made)
    item = AddItem(name="Pump", step="b", rev=1)
    tell_item(tables, told("item:i", item), item)
    return tables


def test_a_build_brings_its_steps_with_their_order_and_an_edit_of_it_changes_their_places() -> None:
    tables = plan_of_two()
    assert [*tables.step_edge] == [("a", "b")]
    assert tables.step["a"]["build_id"] == "build"

    moved = EditBuild(order=("b", "a"))
    tell_build(tables, told("build:build", moved), moved)

    assert [tables.step[step]["position"] for step in ("a", "b")] == [1, 0]
    assert tables.build["build"]["title"] == "one"


def test_a_deleted_step_takes_its_orders_and_exceptions_along_and_its_things_stay_without_it() -> None:
    tables = plan_of_two()
    said = EditItem(exceptions=(("later", "b", 1, "so"),), rev=2)
    tell_item(tables, told("item:i", said), said)
    gone = EditStep(deleted="B", items=("i",))

    tell_step(tables, told("step:b", gone), gone)

    assert [*tables.step] == ["a"]
    assert (tables.step_edge, tables.install_exception) == ({}, {})
    assert (tables.item["i"]["step_id"], tables.item["i"]["rev"]) == (None, 3)


def test_a_step_that_comes_back_has_its_orders_exceptions_and_things_again() -> None:
    tables = plan_of_two()
    before = dict(tables.item["i"])
    gone = EditStep(deleted="B", items=("i",))
    back = EditStep(
        name="B", position=1, order=("a", "b"), orders=(("a", "b", "so"),),
        exceptions=(("i", "later", 1, "so"),), items=("i",), rev=1,
    )  # fmt: skip
    tell_step(tables, told("step:b", gone), gone)
    tell_step(tables, told("step:b", back), back)

    assert [*tables.step_edge] == [("a", "b")]
    assert [*tables.install_exception] == [("i", "later")]
    assert tables.item["i"] == before | {"rev": 3}


def test_a_step_is_for_a_helper_and_without_a_role_unless_a_line_says_otherwise() -> None:
    tables = Tables()
    plain, drain = AddStep(name="A"), AddStep(name="B", role="drain", for_helper=False)
    tell_step(tables, told("step:a", plain), plain)
    tell_step(tables, told("step:b", drain), drain)

    assert [(row["role"], row["for_helper"]) for row in tables.step.values()] == [
        ("", True),
        ("drain", False),
    ]


def test_what_an_item_leads_to_is_what_its_newest_line_says() -> None:
    tables = Tables()
    for said in (EditItem(edges={"holds": ("x", "y")}), EditItem(edges={"holds": ("y", "z"), "joins": ()})):
        tell_item(tables, told("item:i", said), said)

    assert [*tables.edge] == [("i", "holds", "y"), ("i", "holds", "z")]


def test_what_replaces_an_item_is_said_by_its_own_line() -> None:
    tables = Tables()
    for news in (("x", "y"), ("y",)):
        said = EditItem(replaced_by=news)
        tell_item(tables, told("item:old", said), said)

    assert [*tables.edge] == [("y", "replaces", "old")]
