from collections.abc import Iterable
from dataclasses import replace

from app.core.items.items import Item
from app.core.items.kinds import Act, Kind
from app.core.phases.phases import fold_phases
from app.core.phases.proposed import propose_milestones
from app.core.phases.routes import Route
from tests.core.ledger.standing import Stands, stands
from tests.core.phases.swap import SWAP, bounded, hose, sides, thing
from tests.core.phases.told import tell

OFF, BACK = (Act.OFF,), (Act.OFF, Act.SEATED, Act.LATCHED, Act.ROUTED)


def came_off(it: Item, *acts: Act) -> Stands:
    """A thing whose first mark arrived as the fifth line."""
    made = stands(it, *acts)
    return Stands(it, replace(made.state, off_seq=5 if acts else 0))


def proposed(
    *lines: Stands, passes: Iterable[str] = (), started: bool = False, route: Route = Route.ENGINE_UP
) -> list[tuple[str, str]]:
    items = [line.item for line in lines]
    found = propose_milestones(
        sides(*items, route=route),
        bounded(*items, route=route),
        [(line.item, line.state) for line in lines],
        passes=frozenset(passes),
        started=started,
    )
    said = [tell(f"{n:02d}", p.milestone.verb, *p.milestone.units, after=[f"{n - 1:02d}"] if n else [])
            for n, p in enumerate(found)]  # fmt: skip
    assert fold_phases(SWAP, said).untrue == ()
    return [(p.milestone.verb.value, p.because) for p in found]


def test_a_folder_in_which_nothing_came_off_proposes_nothing() -> None:
    assert proposed(came_off(hose("vehicle", "old engine"))) == []


def test_when_all_that_joined_is_off_the_engine_seems_to_be_out() -> None:
    assert proposed(came_off(hose("vehicle", "old engine"), *OFF)) == [
        ("rise", "marks"),
        ("set_down", "marks"),
    ]


def test_one_that_never_came_off_says_that_it_is_still_in() -> None:
    on = came_off(hose("vehicle", "old engine", "Other"))
    other = Stands(replace(on.item, id="y"), on.state)
    assert proposed(came_off(hose("vehicle", "old engine"), *OFF), other) == []


def test_what_is_on_again_says_nothing_while_something_never_came_off() -> None:
    on = came_off(hose("vehicle", "old engine", "Other"))
    other = Stands(replace(on.item, id="y"), on.state)
    assert proposed(came_off(hose("vehicle", "old engine"), *BACK), other) == []


def test_a_start_says_that_all_before_it_has_been() -> None:
    assert [verb for verb, _ in proposed(started=True, passes=["move"])] == [
        "rise", "set_down", "lift_in", "mating", "landed", "first_start", "moved",
    ]  # fmt: skip


def test_out_together_they_mated_before_they_went_in() -> None:
    found = [verb for verb, _ in proposed(started=True, route=Route.TOGETHER_UP)]
    assert found.index("mating") < found.index("lift_in")


def test_what_was_joined_again_says_that_the_engine_is_in() -> None:
    assert ("landed", "marks") in proposed(came_off(hose("vehicle", "old engine"), *BACK))


def test_a_pass_says_so_too_and_is_named_as_the_reason() -> None:
    assert proposed(passes=["lift"]) == [("rise", "pass"), ("set_down", "pass")]
    mated = [("rise", "follows"), ("set_down", "follows"), ("lift_in", "follows"), ("mating", "pass")]
    assert proposed(passes=["mating"]) == mated


def test_without_an_engine_removal_only_starts_and_drives_are_proposed() -> None:
    assert proposed(started=True, route=Route.NONE) == [("first_start", "start")]
    bolts = thing(Kind.FASTENER, "Mount nuts", "vehicle", "lift")
    assert proposed(came_off(bolts, Act.OFF), route=Route.NONE) == []
