from app.core.items.kinds import Kind
from app.core.lists.columns import TABLE


def test_a_column_fits_only_the_kinds_that_have_its_field() -> None:
    grade = TABLE.named["grade"]

    assert grade.fits(Kind.FASTENER, {"grade"})
    assert not grade.fits(Kind.PART, {"grade"})


def test_a_column_that_means_nothing_alone_fits_only_beside_its_other() -> None:
    beside = [column for column in TABLE.all if column.beside]

    assert [column.name for column in beside] == ["length_mm"]
    for column in beside:
        assert column.fits(Kind.FASTENER, {column.name, column.beside})
        assert not column.fits(Kind.FASTENER, {column.name})


def test_the_help_names_the_choice_the_range_and_whose_it_is() -> None:
    assert TABLE.named["people"].help.endswith(": 1 to 9")
    assert "off only" in TABLE.named["direction"].help
    assert TABLE.named["grade"].help.endswith("(fastener; else kept in the note)")
    assert "kept in the note" not in TABLE.named["note"].help


def test_a_columns_words_are_its_name_with_blanks() -> None:
    assert TABLE.named["one_time"].words == "one time"
