import pytest

from app.store.db.models import Person
from app.web.site.who import PersonChoice, person_choices

ADA, BEN = Person(id="a", name="Ada"), Person(id="b", name="Ben")


@pytest.mark.parametrize("people", [(), (ADA,)])
def test_where_there_is_one_person_only_nothing_is_asked(people: tuple[Person, ...]) -> None:
    assert person_choices(people, "a") == ()


def test_the_form_begins_with_the_person_of_the_device() -> None:
    assert person_choices((ADA, BEN), "b") == (
        PersonChoice("a", "Ada", is_chosen=False),
        PersonChoice("b", "Ben", is_chosen=True),
    )


def test_who_did_it_is_marked_and_can_still_be_chosen_for_the_next_act() -> None:
    ada, ben = person_choices((ADA, BEN), "a", doers=["a"])

    assert (ada.is_chosen, ada.has_done, ada.is_barred) == (True, True, False)
    assert not ben.has_done


def test_who_did_it_is_neither_chosen_nor_to_be_chosen_for_the_second_look() -> None:
    ada, ben = person_choices((ADA, BEN), "a", doers=["a"], bars_doers=True)

    assert (ada.is_chosen, ada.is_barred) == (False, True)
    assert (ben.is_chosen, ben.is_barred) == (False, False)
