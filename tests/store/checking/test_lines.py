import pytest

from app.store.db.clock import new_id
from app.store.journal import FOLD
from tests.store.checking.conftest import ANOTHER_BUILD, Kept

GONE = "f" * 32


def test_a_line_that_builds_on_a_line_that_is_not_there_is_named_with_its_item(kept: Kept) -> None:
    entry = kept.garage.line(f"item:{kept.pump}", after=(GONE,), act="off")
    kept.garage.receive(entry)

    assert kept.said() == [
        (
            "out-of-reach",
            "#1 Pump (build 1)",
            f"Line {entry['id']} (mark) counts for nothing: it builds on line {GONE}, which is not there.",
        )
    ]


def test_a_line_that_builds_on_another_items_line_is_told_from_one_that_is_lost(kept: Kept) -> None:
    other = kept.garage.entry(kept.bolts).state.tips[:1]
    kept.garage.receive(kept.garage.line(f"item:{kept.pump}", after=other, act="off"))

    ((code, _, message),) = kept.said()

    assert code == "out-of-reach"
    assert message.endswith(f"it builds on line {other[0]}, which is about something else.")


def test_a_line_behind_one_out_of_reach_is_said_too(kept: Kept) -> None:
    first = kept.garage.line(f"item:{kept.pump}", after=(GONE,), act="off")
    kept.garage.receive(first)
    kept.garage.receive(kept.garage.line(f"item:{kept.pump}", after=(first["id"],), act="placed"))

    assert kept.codes() == {"out-of-reach": 2}


def test_an_undo_of_a_line_that_is_not_there_is_found(kept: Kept) -> None:
    tips = kept.garage.entry(kept.pump).state.tips
    kept.garage.receive(kept.garage.line(f"item:{kept.pump}", "undo", after=tips, line=GONE))

    ((code, where, message),) = kept.said()

    assert (code, where) == ("undo-of-nothing", "#1 Pump (build 1)")
    assert GONE in message


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("$.positions[0].act", '"tight"', "position 1"),
        ("$.round", "7", "how often it came off"),
        ("$.off_seq", "999", "when it came off"),
        ("$.fate.value", '"lost"', "what became of it"),
        ("$.times.closed", "7", "when its marks came"),
        ("$.positions", "[]", "the number of its positions (0 for 2)"),
    ],
)
def test_a_stored_state_that_its_lines_do_not_say_is_told_with_what_differs(
    kept: Kept, path: str, value: str, words: str
) -> None:
    kept.harm(
        "UPDATE item_state SET state = json_set(state, :path, json(:value))"
        " WHERE subject = 'item:' || :bolts",
        path=path,
        value=value,
    )

    assert kept.said() == [
        (
            "state-differs",
            "#2 Pump bolts (build 1)",
            f"Its stored state is not what its lines say: {words}.",
        )
    ]


def test_a_line_changed_in_the_file_shows_in_the_state(kept: Kept) -> None:
    kept.harm("UPDATE journal SET body = json_set(body, '$.act', 'tight') WHERE subject = 'item:' || :bolts")

    assert kept.codes() == {"state-differs": 1}


def test_a_state_that_was_folded_by_another_release_is_no_damage(kept: Kept) -> None:
    kept.harm("UPDATE item_state SET state = json_set(state, '$.fold', 1, '$.round', 7)")

    assert kept.said() == []


def test_a_state_without_its_parts_is_unreadable_and_nothing_falls_over(kept: Kept) -> None:
    kept.harm(
        f"UPDATE item_state SET state = json_object('fold', {FOLD}) WHERE subject = 'item:' || :bolts"  # noqa: S608
    )

    assert kept.codes() == {"unreadable": 1}


def test_an_item_of_a_kind_that_is_none_is_unreadable(kept: Kept) -> None:
    kept.harm("UPDATE item SET kind = 'wing' WHERE number = 2")

    assert [said[:2] for said in kept.said()] == [("unreadable", "#2 Pump bolts (build 1)")]


def test_a_missing_state_is_found(kept: Kept) -> None:
    kept.harm("DELETE FROM item_state WHERE subject = 'item:' || :pump")

    assert [said[:2] for said in kept.said()] == [("state-missing", "#1 Pump (build 1)")]


def test_an_item_that_is_gone_from_under_its_lines_is_found(kept: Kept) -> None:
    kept.harm("DELETE FROM edge", "DELETE FROM item WHERE id = :bolts")

    codes = kept.codes()

    assert codes == {"item-missing": 1}


def test_lines_that_are_gone_from_under_an_item_are_found(kept: Kept) -> None:
    kept.harm("DELETE FROM journal WHERE subject = 'item:' || :bolts")

    assert kept.codes() == {"state-of-nothing": 1, "item-of-no-line": 1}


def test_a_state_stored_with_another_build_is_found(kept: Kept) -> None:
    kept.harm(
        ANOTHER_BUILD,
        "UPDATE item_state SET build_id = 'other'",
    )

    assert kept.codes()["state-of-another-build"] == 2


def test_a_place_stored_where_its_lines_do_not_put_it_is_found(kept: Kept) -> None:
    kept.harm(
        "INSERT INTO place (id, build_id, name, rev) VALUES (:shelf, :build, 'Shelf', 1)",
        "UPDATE place SET parent_id = :shelf WHERE id = :crate",
        shelf=new_id(),
    )

    assert kept.said() == [
        (
            "place-differs",
            "place «Crate» (build 1)",
            "It is stored as standing in place «Shelf» (build 1); its lines say nowhere.",
        )
    ]


def test_a_place_that_is_gone_from_under_its_lines_is_found(kept: Kept) -> None:
    kept.harm("DELETE FROM place")

    assert "place-missing" in kept.codes()
