import pytest

from app.store.db.clock import new_id
from app.store.plan.deleted_steps import delete_step
from tests.store.checking.conftest import ANOTHER_BUILD, CODE, Kept
from tests.store.garage import NOW


@pytest.mark.parametrize(
    ("statement", "where"),
    [
        ("UPDATE tag SET subject = 'item:gone'", f"tag {CODE}"),
        ("UPDATE tag SET subject = 'wing:gone'", f"tag {CODE}"),
        ("UPDATE shows SET subject = 'zone:gone'", "photo {photo}"),
    ],
)
def test_what_belongs_to_something_that_is_not_there_is_found(kept: Kept, statement: str, where: str) -> None:
    kept.harm(statement)

    ((code, found, message),) = kept.said()

    assert (code, found) == ("points-nowhere", where.format(photo=kept.photo))
    assert message.endswith("gone, which is not there.")


def test_something_awaited_for_an_item_that_is_not_there_is_found(kept: Kept) -> None:
    kept.harm(
        "INSERT INTO outstanding"
        " (id, build_id, subject, category, need, what, at_whom, currency, count, rev, done_line)"
        " VALUES ('w', :build, 'item:gone', 'get', '', 'Seal', '', 'EUR', 1, 1, 'lost')"
    )

    assert [said[:2] for said in kept.said()] == [("points-nowhere", "awaited «Seal»")] * 2


def test_the_photo_and_the_tag_of_a_step_that_somebody_deleted_are_no_damage(kept: Kept) -> None:
    step = kept.garage.steps[-1]
    kept.harm(
        "UPDATE shows SET subject = 'step:' || :step",
        "UPDATE tag SET subject = 'step:' || :step WHERE subject IS NOT NULL",
        step=step,
    )
    with kept.garage.database.unit_of_work() as session:
        delete_step(session, step, writer=kept.garage.writer, now=NOW)

    assert kept.said() == []


def test_a_photo_whose_line_is_lost_is_found(kept: Kept) -> None:
    kept.harm("UPDATE photo SET line_id = 'lost'")

    assert kept.said() == [
        ("points-nowhere", f"photo {kept.photo}", "It names line lost, which is not there.")
    ]


def test_a_photo_that_the_journal_knows_and_no_row_names_is_found(kept: Kept) -> None:
    kept.harm("DELETE FROM shows", "DELETE FROM photo")

    assert kept.codes() == {"photo-row-missing": 1, "photo-without-row": 1}
    assert kept.said()[0][1] == f"photo {kept.photo}"


def test_an_item_that_lies_in_a_place_that_is_not_there_is_found(kept: Kept) -> None:
    gone = new_id()
    tips = kept.garage.entry(kept.pump).state.tips
    kept.garage.receive(kept.garage.line(f"item:{kept.pump}", "move", after=tips, place=gone))

    assert kept.said() == [
        ("points-nowhere", "#1 Pump (build 1)", f"It lies in place {gone}, which is not there.")
    ]


def test_a_place_that_stands_in_one_that_is_not_there_is_found(kept: Kept) -> None:
    kept.harm("UPDATE place SET parent_id = 'gone'")

    assert ("points-nowhere", "place «Crate» (build 1)") in [said[:2] for said in kept.said()]


def test_a_place_inside_itself_is_found(kept: Kept) -> None:
    kept.harm("UPDATE place SET parent_id = id")

    assert kept.codes()["place-in-itself"] == 1


def test_what_is_tied_across_two_builds_is_found(kept: Kept) -> None:
    kept.harm(
        ANOTHER_BUILD,
        "UPDATE item SET build_id = 'other' WHERE id = :pump",
        "UPDATE item_state SET build_id = 'other' WHERE subject = 'item:' || :pump",
    )

    assert kept.codes() == {"edge": 1, "another-build": 2, "points-nowhere": 1}


def test_an_item_tied_to_itself_is_found(kept: Kept) -> None:
    kept.harm("UPDATE edge SET to_item = from_item")

    assert [said[:2] for said in kept.said()] == [("edge", "#2 Pump bolts (build 1)")]


def test_a_tie_of_an_unknown_sort_is_found(kept: Kept) -> None:
    kept.harm("UPDATE edge SET rel = 'likes'")

    ((code, _, message),) = kept.said()
    assert code == "edge"
    assert "«likes»" in message
