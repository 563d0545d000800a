from app.core.items.bodies.things import EditItem
from app.core.items.journal import Line
from app.store.rebuilding.tables import Told, put, said_of, without


def test_a_row_begins_fresh_and_a_later_line_changes_only_what_it_says() -> None:
    rows: dict[str, dict[str, object]] = {}
    put(rows, "a", {"id": "a", "n": 1}, {"name": "Pump"})
    put(rows, "a", {"id": "a", "n": 7}, {"name": "Cover"})

    assert rows == {"a": {"id": "a", "n": 1, "name": "Cover"}}


def test_a_row_that_is_changed_is_a_new_one() -> None:
    rows = {"a": {"id": "a"}}
    before = rows["a"]
    put(rows, "a", {}, {"name": "Pump"})

    assert before == {"id": "a"}


def test_rows_are_taken_out_by_the_value_of_a_column() -> None:
    rows = {1: {"step": "a"}, 2: {"step": "b"}, 3: {"step": "a"}}
    without(rows, "step", "a")

    assert rows == {2: {"step": "b"}}


def test_nothing_is_said_of_a_field_that_a_line_leaves_out_and_null_is_something() -> None:
    assert said_of(EditItem(name="", step="s"), ("name", "n"), step="step_id") == {"name": "", "step_id": "s"}
    assert said_of(EditItem(n=None), ("name", "n")) == {"n": None}


def test_a_told_line_names_its_subject_s_id() -> None:
    assert Told(Line("l", "item:abc", "edit", {}), "", "").id == "abc"
