"""What becomes of things is said in one way everywhere."""

from app.core.items.items import DESTINIES, FATES, Item
from app.core.items.kinds import Kind
from app.core.ledger.dispositions import DISPOSITIONS
from app.core.lists import vocabulary
from app.core.wording.destinies import DESTINY_TEXT, DISPOSITION_TEXT, FATE_TEXT
from app.core.wording.items import state_text


def test_every_destiny_fate_and_disposition_has_its_words_and_no_two_have_the_same() -> None:
    assert set(DESTINY_TEXT) == set(DESTINIES)
    assert set(FATE_TEXT) == set(FATES)
    assert tuple(DISPOSITION_TEXT) == DISPOSITIONS
    assert len(set(DISPOSITION_TEXT.values())) == len(DISPOSITIONS)


def test_a_list_says_of_a_state_what_the_form_says_of_the_destiny() -> None:
    item = Item("1", 1, Kind.PART)
    for destiny in ("left_out", "stays_on_old", "replaced", "undecided"):
        assert state_text(item, destiny) == DESTINY_TEXT[destiny]


def test_a_list_of_parts_understands_the_words_that_pages_show() -> None:
    assert {words: vocabulary.DESTINIES.get(words) for words in DESTINY_TEXT.values()} == {
        words: destiny for destiny, words in DESTINY_TEXT.items()
    }
