"""Marks that arrive late, twice, or against each other: gates stay red until it is clear how things are."""

import pytest

from tests.story.builds import SWAP
from tests.story.conftest import GetCrew
from tests.story.crew import ENGINE_PAGE, Crew
from tests.story.mechanic import Thing

FRONT = {key: SWAP[key] for key in ("radiator", "frame", "strap")}
MOUNTED = {key: SWAP[key] for key in ("mounts", "strap")}


def codes(crew: Crew) -> set[str]:
    return {each.code for each in crew.build().findings}


@pytest.fixture
def front(crew: GetCrew) -> Crew:
    """A crew that has taken a radiator off, and starts to put it back."""
    three = crew("none", FRONT)
    three.take_off(*FRONT)
    three.turn()
    return three


def test_what_a_phone_kept_lands_after_all_else_and_the_start_has_waited_for_it(front: Crew) -> None:
    kept = front.out_of_reach(front.other, "strap", upto="routed")
    for _ in range(6):
        front.follow(next(i for i, _, _ in front.undone(front.look()) if i != front.ids["strap"]))
    assert front.mechanic.level("strap") == "off"

    front.land(front.other, kept)
    front.put_back("order")
    front.assert_zero()
    assert front.green == {"start", "move"}


def test_bolts_that_were_tight_before_their_part_arrived_are_asked_about_once(front: Crew) -> None:
    kept = front.out_of_reach(front.other, "radiator", upto="placed")
    front.otherwise("frame", "tight")
    assert codes(front) == {"tight-without-part"}

    front.land(front.other, kept)
    assert codes(front) == {"tight-before-part"}
    front.explain("frame")
    front.put_back("now")
    front.assert_zero()


def test_the_same_from_two_who_had_not_seen_each_other_is_one_thing(front: Crew) -> None:
    kept = front.out_of_reach(front.other, "strap", upto="routed")
    front.land(front.helper, front.out_of_reach(front.helper, "strap", upto="routed"))
    front.land(front.other, kept)

    assert front.mechanic.level("strap") == "done"
    front.put_back("order")
    front.assert_zero()


@pytest.mark.parametrize("late", ["routed", "seated"])
def test_what_two_say_differently_is_settled_before_the_start(front: Crew, late: str) -> None:
    """A phone that comes late says it is joined; meanwhile it was joined and taken off again, or joined."""
    kept = front.out_of_reach(front.other, "strap", upto=late)
    front.land(front.helper, front.out_of_reach(front.helper, "strap", upto="routed"))
    if late == "routed":
        front.otherwise("strap", "off")
    front.land(front.other, kept)

    assert front.mechanic.level("strap") == ""
    front.settle("strap", "routed")
    front.put_back("order")
    front.assert_zero()


def test_a_second_look_that_had_not_seen_the_last_tightening_is_asked_about(crew: GetCrew) -> None:
    bolts = Thing("bolts", "fastener", SWAP["drain"].ties, "drain", "Oil drain plug", critical=True, n=1)
    three = crew("none", {"bolts": bolts})
    three.take_off("bolts")
    three.turn()
    three.land(three.helper, three.out_of_reach(three.helper, "bolts", upto="tight"))
    kept = three.out_of_reach(three.other, "bolts", upto="checked")
    three.otherwise("bolts", "tight")
    three.land(three.other, kept)

    assert codes(three) == {"checked-before-work"}
    three.explain("bolts")
    three.put_back("now")
    three.assert_zero()


def test_a_milestone_told_twice_is_one_and_one_that_differs_keeps_its_gates_red(crew: GetCrew) -> None:
    three = crew("engine_up", {key: SWAP[key] for key in ("mounts", "strap")})
    three.take_off("strap")
    assert three.happen() == "hook_up"
    three.take_off("mounts")
    three.pass_gate("lift")
    two = [(phone, phone.page(ENGINE_PAGE).form(verb="rise")) for phone in (three.helper, three.other)]
    down = three.owner.page(ENGINE_PAGE).form(verb="rise")
    for phone, form in two:
        phone.submit(form)
        three.look()
    assert three.mechanic.happened("out") is True
    assert three.build().phases.untrue == ()

    down.fields = [(name, "set_down" if name == "verb" else value) for name, value in down.fields]
    three.owner.submit(down)
    three.look()
    assert codes(three) == {"milestones-differ"}
    assert not three.green_now()

    line = three.rows("SELECT id FROM journal WHERE verb = 'rise' ORDER BY seq")[0][0]
    page = three.owner.page(ENGINE_PAGE)
    three.owner.submit(next(form for form in page.forms if form.body.get("holds") == line))
    assert three.green_now() == {"hook_up", "lift"}
