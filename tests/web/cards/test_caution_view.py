"""The cautions of a step on its cards: shown when the step begins, then a line that names them."""

import re

from tests.web.conftest import Garage


def cautions_on(garage: Garage, item: str) -> tuple[bool, str]:
    """Return whether they are shown, and the line that names them."""
    page = garage.owner.get(f"/i/{item}").text
    found = re.search(r'<details class="more card-cautions"( open)?>.*?<span>([^<]*)</span>', page, re.DOTALL)
    assert found
    return bool(found[1]), found[2]


def test_they_are_shown_until_something_of_the_step_is_in_again(garage: Garage) -> None:
    step, keys = garage.rows("SELECT id, cautions FROM step WHERE cautions != '[]' AND direction = 'both'")[0]
    assert keys
    first, second = (garage.item("part", name=name, step=step) for name in ("Pump", "Cover"))
    is_shown, named = cautions_on(garage, second)
    assert is_shown
    assert named
    assert garage.owner.send(garage.mark(first, "placed")).status_code == 200
    assert cautions_on(garage, second) == (False, named)


def test_a_thing_without_a_step_has_none(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    assert "card-cautions" not in garage.owner.get(f"/i/{item}").text
