import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.items.items import Connection, Fastener, Item
from app.core.items.kinds import Kind
from app.core.items.numbers import item_of, items_of, read_numbers
from app.core.problem import Problem

NUTS = Item("n", 44, Kind.FASTENER, "Manifold nuts", detail=Fastener(head="12-point"))
HOSE = Item("h", 2, Kind.CONNECTION, "Feed", detail=Connection("coolant hose"))
LID = Item("l", 15, Kind.PART, "Lid")
ITEMS = (NUTS, HOSE, LID)


@pytest.mark.parametrize(
    "typed",
    [
        *("44", "#44", " # 44 ", "no. 44", "No 44", "nr. 44", "number 44", "item #44", "item no. 44", "044"),
        *("44 nuts", "#44 Manifold nuts", "44 manifold", "44 fastener", "44 nut"),
    ],
)
def test_one_item_is_meant_by_its_number_however_it_is_typed(typed: str) -> None:
    assert item_of(typed, ITEMS) == NUTS


@pytest.mark.parametrize(
    "typed",
    [
        "44, 2",
        "#44; #2",
        "44 2",
        "#44 #2",
        "44 and 2",
        "44\n2",
        "44 nuts, 2 hose",
        "no. 44, no. 2",
        "44,2,,44;",
    ],
)
def test_several_are_parted_by_commas_semicolons_or_blanks(typed: str) -> None:
    assert items_of(typed, ITEMS) == (NUTS, HOSE)


@pytest.mark.parametrize("typed", ["", " ", ",;"])
def test_nothing_typed_means_no_item(typed: str) -> None:
    assert items_of(typed, ITEMS) == ()
    assert isinstance(item_of(typed, ITEMS), Problem)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("77", "There is no item #77"),
        ("2, 77; 78", "There is no item #77, #78"),
        ("nuts", "«nuts» is no item's number"),
        ("M8", "«M8» is no item's number"),
        ("3/8 bolt", "is no item's number"),
        ("-44", "is no item's number"),
        ("4.4", "is no item's number"),
        ("44nuts", "is no item's number"),
        ("44 nuts 2", "is no item's number"),
        ("٤٤", "is no item's number"),
        ("4" * 10, "is no item's number"),
        ("2 bolts", "#2 is «Feed», not «bolts»"),
        ("15 mm", "#15 is «Lid», not «mm»"),
    ],
)
def test_what_names_no_item_is_said_and_never_taken_for_another(typed: str, says: str) -> None:
    found = items_of(typed, ITEMS)

    assert isinstance(found, Problem)
    assert says in found.message


def test_where_one_is_asked_for_two_are_too_many() -> None:
    found = item_of("44, 2", ITEMS)

    assert isinstance(found, Problem)
    assert "one item" in found.message


@given(st.text() | st.text("0123456789#,; no.x"))
def test_any_text_gives_numbers_or_a_sentence(typed: str) -> None:
    read = read_numbers(typed)

    assert read.message.endswith(".") if isinstance(read, Problem) else all(n.number >= 0 for n in read)


@given(st.lists(st.integers(1, 999_999_999), unique=True), st.sampled_from([", ", ";", " ", " #"]))
def test_numbers_joined_are_read_in_their_order(numbers: list[int], between: str) -> None:
    read = read_numbers(between.join(map(str, numbers)))

    assert not isinstance(read, Problem)
    assert [each.number for each in read] == numbers
