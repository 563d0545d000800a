"""How the vehicle stands is said in one way everywhere."""

from app.core.lists import vocabulary
from app.core.wording.heights import HEIGHT_TEXT
from app.store.plan.builds import LAYOUTS, layout


def test_every_height_of_a_layout_has_its_words() -> None:
    used = {step["height"] for key in LAYOUTS for step in layout(key)["steps"]}
    assert used <= set(HEIGHT_TEXT)


def test_a_list_understands_the_words_that_pages_show() -> None:
    for height, words in HEIGHT_TEXT.items():
        assert vocabulary.HEIGHTS[words] == height
        assert vocabulary.HEIGHTS[height] == height
