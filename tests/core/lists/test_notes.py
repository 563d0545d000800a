import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.items.kinds import ITEM_KINDS, Kind
from app.core.lists.notes import noted, parted_note

CELLS = {
    "thread": "M10x1",
    "length_mm": "20",
    "grade": "8.8",
    "torque": "25 N·m",
    "torque_source": "p. 9",
    "one_time": "yes",
}


@given(st.sampled_from([k for k in ITEM_KINDS if k is not Kind.FASTENER]), st.sets(st.sampled_from([*CELLS])))
def test_cells_without_a_field_come_out_of_the_note_again(kind: Kind, columns: set[str]) -> None:
    cells = {column: CELLS[column] for column in columns}

    assert parted_note(kind, noted("blue", cells)) == ("blue", cells)


@pytest.mark.parametrize(
    "note",
    [
        "",
        "torque: see page 9",
        "torque: 25",
        "torque: 25 N·m\nmind the seal",
        "one time: no",
        "grade: ",
        "thread: none",
    ],
)
def test_words_of_a_person_stay_in_the_note(note: str) -> None:
    assert parted_note(Kind.PART, note) == (note, {})


def test_a_fasteners_torque_is_in_its_field_and_its_note_is_its_note() -> None:
    assert parted_note(Kind.FASTENER, "torque: 25 N·m") == ("torque: 25 N·m", {})
    assert parted_note(Kind.FASTENER, "length mm: 20") == ("", {"length_mm": "20"})
