"""Old engine against new: each item in one group, nothing of the old engine without an answer hidden."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.items.items import DESTINIES, OWNERS, Connection, Edge, End, Item, Part
from app.core.items.kinds import Act, Kind
from app.core.items.state import ItemState, fold
from app.core.ledger.engines import GROUPS, compare, has_new_engine, owners_of
from tests.core.items.lines import mark, say

OLD_PART = Item("p", 1, Kind.PART, "Pump", owner="old engine", detail=Part())
NEW_PART = Item("q", 2, Kind.PART, "Pump, new", owner="new engine", detail=Part())


def state(destiny: str = "", reason: str = "") -> ItemState:
    lines = [mark("a", Act.OFF)]
    if destiny:
        lines.append(say("b", "dispose", {"destiny": destiny, "reason": reason}, after="a"))
    return fold(Kind.PART, 1, lines)


def group_of(item: Item, destiny: str = "", *edges: Edge, adapted: bool = False) -> str:
    pairs = [(item, state(destiny)), (replace(NEW_PART, id="other"), state())]
    return compare(pairs, edges, frozenset({item.id} if adapted else ()))[0].group


@pytest.mark.parametrize(
    ("destiny", "found"),
    [
        ("", "unanswered"),
        ("undecided", "unanswered"),
        ("transfer", "moves"),
        ("replaced", "old_only"),
        ("left_out", "never"),
        ("stays_on_old", "never"),
    ],
)
def test_an_item_of_the_old_engine_stands_where_its_answer_puts_it(destiny: str, found: str) -> None:
    assert group_of(OLD_PART, destiny) == found


def test_with_one_engine_only_its_items_just_go_back() -> None:
    assert compare([(OLD_PART, state())], [])[0].group == "stays"
    assert not has_new_engine([(OLD_PART, state())])


def test_why_something_never_returns_is_kept_beside_it() -> None:
    (found,) = compare([(OLD_PART, state("left_out", "the new engine has no place for it"))], [])
    assert (found.group, found.reason) == ("never", "the new engine has no place for it")


def test_what_is_replaced_and_what_replaces_it_name_each_other_many_to_many() -> None:
    second = replace(NEW_PART, id="r")
    edges = [Edge("q", "replaces", "p"), Edge("r", "replaces", "p"), Edge("q", "replaces", "s")]
    pairs = [(OLD_PART, state("replaced")), (NEW_PART, state()), (second, state())]
    old, new, other = compare(pairs, edges)
    assert (old.group, old.others) == ("adapted", ("q", "r"))
    assert (new.group, new.others) == ("adapted", ("p", "s"))
    assert (other.group, other.others) == ("adapted", ("p",))


def test_what_moves_names_what_it_moves_to() -> None:
    pairs = [(OLD_PART, state("transfer")), (NEW_PART, state())]
    (old, new) = compare(pairs, [Edge("p", "moves_to", "q")])
    assert (old.group, old.others) == ("moves", ("q",))
    assert new.group == "new_only"


def test_what_was_altered_to_fit_is_adapted() -> None:
    vehicle = replace(OLD_PART, owner="vehicle")
    assert group_of(vehicle) == "stays"
    assert group_of(vehicle, adapted=True) == "adapted"
    assert group_of(OLD_PART, "transfer", adapted=True) == "adapted"


def test_a_connection_with_all_its_ends_on_the_old_engine_belongs_to_it() -> None:
    inner = Item("i", 3, Kind.CONNECTION, detail=Connection(ends=(End("A", "", "old engine"),) * 2))
    outer = replace(inner, detail=Connection(ends=(End("A", "", "vehicle"), End("B", "", "old engine"))))
    assert (group_of(inner), group_of(outer)) == ("unanswered", "stays")


def test_an_end_on_the_new_engine_says_that_another_engine_goes_in() -> None:
    hose = Item(
        "h", 3, Kind.CONNECTION, detail=Connection(ends=(End("A", "", "vehicle"), End("B", "", "new engine")))
    )
    assert owners_of(hose) - {""} == {"vehicle", "new engine"}
    assert has_new_engine([(hose, state())])


@settings(max_examples=80)
@given(
    st.lists(st.tuples(st.sampled_from(OWNERS), st.sampled_from(["", *DESTINIES])), min_size=1, max_size=10),
    st.data(),
)
def test_each_item_stands_in_exactly_one_group(said: list[tuple[str, str]], data: st.DataObject) -> None:
    pairs = [
        (Item(str(i), i, Kind.PART, owner=owner, detail=Part()), state(destiny))
        for i, (owner, destiny) in enumerate(said)
    ]
    ids = [item.id for item, _ in pairs]
    edges = data.draw(
        st.lists(
            st.builds(
                Edge, st.sampled_from(ids), st.sampled_from(("replaces", "moves_to")), st.sampled_from(ids)
            ),
            max_size=6,
        )
    )
    found = compare(pairs, edges)
    assert [one.item for one in found] == ids
    assert {one.group for one in found} <= set(GROUPS)
    for (item, its), one in zip(pairs, found, strict=True):
        if (
            item.owner == "old engine"
            and has_new_engine(pairs)
            and its.destiny.value in {"refit", "undecided"}
        ):
            assert one.group in {"unanswered", "moves"}
