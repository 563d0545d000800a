from collections.abc import Callable
from dataclasses import replace

import pytest

from app.core.builds.snapshot import Snapshot
from app.core.find.finding import Found, find
from app.core.items.items import Item, Part
from app.core.items.kinds import Kind
from app.core.tags import draw_code
from app.store.db.clock import new_id
from tests.store.garage import Garage


def of_signs(signs: str) -> Callable[[str], str]:
    given = iter(signs * 9)
    return lambda _: next(given)


CODE, OTHER = draw_code(of_signs("234567")), draw_code(of_signs("89ABCDEF"))


@pytest.fixture
def build(garage: Garage) -> Snapshot:
    for name in ("Fuel feed line", "Radiator hose", "Hose clamp"):
        garage.add(Item(new_id(), 0, Kind.PART, name, garage.steps[0], garage.zones[0], detail=Part()))
    return garage.now()


def names(found: Found) -> list[str]:
    return [entry.item.name for entry in found.entries]


def test_nothing_is_found_for_nothing(build: Snapshot) -> None:
    assert find("", build, {CODE}) == Found()


def test_a_printed_code_is_found_however_it_is_typed_and_an_unprinted_one_is_not(build: Snapshot) -> None:
    assert find(f"{CODE[:3].lower()} {CODE[3:]}", build, {CODE}) == Found(code=CODE)
    assert find(CODE, build, {OTHER}).code == ""


def test_a_number_finds_its_item_and_nothing_else(build: Snapshot) -> None:
    for entry in build.items:
        assert find(f"#{entry.item.number}", build, ()) == Found(item=entry.item.id)


def test_what_has_all_the_words_is_found_by_running_number(build: Snapshot) -> None:
    assert names(find("HOSE", build, ())) == ["Radiator hose", "Hose clamp"]
    assert names(find("feed FUEL", build, ())) == ["Fuel feed line"]


def test_a_code_that_begins_as_typed_comes_before_words_and_once(build: Snapshot) -> None:
    clamp, line = build.items[2], build.items[0]
    tagged = _with_tags(build, {clamp.subject: ("H0SE234",), line.subject: ("HQSE234",)})

    assert names(find("h0s", tagged, ())) == ["Hose clamp"]
    assert names(find("h0", tagged, ())) == []
    both = _with_tags(build, {clamp.subject: ("HOSEXYZ",)})
    assert names(find("hose", both, ())) == ["Hose clamp", "Radiator hose"]


def test_where_nothing_is_found_the_nearest_words_and_codes_are_offered(build: Snapshot) -> None:
    assert find("radiater", build, ()).meant == "radiator"
    slipped = CODE[:5] + ("Z" if CODE[5] != "Z" else "Y") + CODE[6:]
    found = find(slipped, build, {CODE, OTHER})
    assert found.near == (CODE,)
    assert found.problem
    assert names(found) == []


@pytest.mark.parametrize(("asked", "is_said"), [("7K3-F9Q", True), ("zzzzzzz", False), ("7K3", False)])
def test_only_what_looks_like_a_code_is_told_what_is_wrong_with_it(
    build: Snapshot, asked: str, *, is_said: bool
) -> None:
    assert bool(find(asked, build, ()).problem) is is_said


def _with_tags(build: Snapshot, tags: dict[str, tuple[str, ...]]) -> Snapshot:
    return replace(build, tags=tags)
