from app.core.items.items import Part
from app.core.items.kinds import Kind
from app.core.lists.listed import ListedItem
from app.core.lists.renewals import LONGEST_NAME, new_name, renewed

OLD = ListedItem(
    7,
    "p1",
    Kind.PART,
    "Pump",
    Part(),
    step="Pump off",
    place=("bag 4", "crate 1"),
    destiny="replaced",
    note="worn",
)


def test_the_new_one_goes_back_in_the_step_of_the_old_one_and_lies_nowhere_yet() -> None:
    new = renewed(OLD)

    assert (new.name, new.step, new.kind, new.line) == ("Pump, new", "Pump off", Kind.PART, 7)
    assert (new.place, new.destiny) == ((), "refit")
    assert "worn" not in new.note


def test_no_row_can_call_the_new_one_by_the_key_of_the_old() -> None:
    assert renewed(OLD).key != OLD.key
    assert "\n" in renewed(OLD).key


def test_the_name_of_the_new_one_is_never_too_long_and_nameless_stays_nameless() -> None:
    assert len(new_name("x" * 200)) == LONGEST_NAME
    assert new_name("x" * 200).endswith(", new")
    assert new_name("") == ""
