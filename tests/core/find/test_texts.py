import pytest

from app.core.find.texts import has_words, meant, text_of
from app.core.items.items import Fastener, Item
from app.core.items.kinds import Kind
from app.store.db.clock import new_id
from tests.store.garage import Garage

TEXTS = ("alternator bracket, upper", "radiator hose")


def test_an_item_is_found_by_its_words_its_zone_and_its_steps_names_of_both_ways(garage: Garage) -> None:
    item_id = new_id()
    detail = Fastener(thread="M8×1.25")
    item = Item(item_id, 0, Kind.FASTENER, "Bell housing", garage.steps[0], garage.zones[0], detail=detail)
    garage.add(item)
    build = garage.now()
    entry = build.entries[item_id]
    text = text_of(entry, build)

    step, zone = build.step[item.step], build.zone[item.zone]
    for words in ("bell housing", "m8×1.25", step.name.casefold(), zone.label.casefold()):
        assert words in text
    assert text == text.casefold()


@pytest.mark.parametrize(
    ("asked", "has"),
    [("hose", True), ("Hose RAD", True), ("hose upper", False), ("", False), ("  ", False)],
)
def test_a_text_has_to_have_every_word_anywhere(asked: str, *, has: bool) -> None:
    assert has_words(TEXTS[1], asked) is has


@pytest.mark.parametrize(
    ("asked", "said"),
    [("Altenator bracket", "alternator bracket"), ("uper", "upper"), ("hose zzzz", ""), ("rad", "rad")],
)
def test_an_unknown_word_is_exchanged_for_the_nearest_and_a_known_one_stays(asked: str, said: str) -> None:
    assert meant(asked, TEXTS) == said
