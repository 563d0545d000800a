"""What is joined to an engine that is not there, and milestones that cannot have been."""

from dataclasses import replace

from app.core.consistency.findings import FindingAnswer
from app.core.phases.routes import Route
from tests.core.consistency.scenes import ASKS, IMPOSSIBLE, found
from tests.core.gates.test_by_phase import HOSE, MOUNTS
from tests.core.phases.played import Played, known
from tests.core.phases.reference import Known
from tests.core.phases.told import row, tell


def test_milestones_that_cannot_have_been_and_those_that_differ_are_found() -> None:
    assert found([], [], milestones=row("moved")) == [("milestone-not-started", IMPOSSIBLE, "00", "")]
    two = [tell("a", "rise", "old"), tell("b", "left", "old")]
    assert {each[0] for each in found([], [], milestones=two)} == {"milestones-differ"}
    unread = [tell("a", "rise", "third")]
    assert found([], [], milestones=unread) == [("milestone-unit-unknown", IMPOSSIBLE, "a", "")]


def test_a_connection_joined_again_while_the_engine_that_comes_in_is_out() -> None:
    played = Played(Route.ENGINE_UP, known(HOSE)).do("hose off", "hook", "rise", "set_down")
    assert played.open_findings == ()
    assert [each.code for each in played.do("hose started").open_findings] == ["joined-while-out"]
    assert played.do("lift_in").open_findings == ()


def test_what_was_never_marked_off_is_impossible_once_the_engine_is_out() -> None:
    played = Played(Route.ENGINE_UP, known(HOSE, MOUNTS)).do("rise")
    assert {(each.code, each.item) for each in played.open_findings} == {
        ("on-while-out", "hose"), ("on-while-out", "mounts"),
    }  # fmt: skip


def test_nuts_kept_on_their_studs_while_the_engine_is_out_are_no_fault() -> None:
    played = Played(Route.ENGINE_UP, known(MOUNTS)).do("mounts off", "rise", "set_down", "mounts started")
    assert played.open_findings == ()
    assert [each.code for each in played.do("mounts done").open_findings] == ["joined-while-out"]


def test_what_tied_an_engine_that_was_out_already_is_asked_once_another_is_in() -> None:
    bench = Known("plugs", "bench", frozenset({"engine"}), "connection")
    played = Played(Route.ENGINE_UP, known(HOSE, MOUNTS, bench)).do("already_out", "mounts off")
    assert played.found == ()

    played.do("lift_in")
    assert [(each.code, each.verdict, each.item) for each in played.open_findings] == [
        ("unrecorded", ASKS, "hose")
    ]
    played.do("mate", "land")
    assert ("hose", "finding") in [(each.line.item.id, each.why) for each in played.look("start").lines]
    (asked,) = played.copy().found
    answered = replace(played, answers=(FindingAnswer(asked.key, "Ada", "I joined it", asked.seen),))
    assert answered.open_findings == ()
    assert played.do("hose off").open_findings == ()
