"""What is read before a step."""

import re

from tests.web.conftest import Garage

PAGE = "/b/1/take-off"


def briefs(garage: Garage) -> dict[str, str]:
    """Return the attributes of each brief by its step."""
    page = garage.helper.get(PAGE).text
    return dict(re.findall(r'<details\s+class="brief"\s+data-brief="(\w+)"([^>]*)>', page))


def careful(garage: Garage) -> tuple[str, str]:
    """Return two steps with cautions."""
    found = garage.rows("SELECT id FROM step WHERE cautions != '[]' AND direction = 'both' ORDER BY position")
    return found[0][0], found[1][0]


def test_the_cautions_stand_open_until_something_of_the_step_is_off(garage: Garage) -> None:
    first, second = careful(garage)
    garage.helper.post(PAGE, code=garage.blank(), kind="part", step=first)
    begun = briefs(garage)
    assert set(begun[first].split()) == set()
    assert set(begun[second].split()) == {"data-unread", "hidden"}

    answer = garage.helper.post(PAGE, code="", kind="part", step=second)
    assert re.search(rf'data-brief="{second}" data-unread open>', answer.text)


def test_a_brief_is_folded_to_the_names_of_its_cautions(garage: Garage) -> None:
    step, _ = careful(garage)
    page = garage.helper.get(PAGE).text
    brief = page[page.index(f'data-brief="{step}"') :]
    line = re.search(r'<span class="line-text">([^<]+)</span>', brief)
    titles = re.findall(r'class="caution-title">([^<]+)<', brief[: brief.index("</details>")])
    assert line
    assert titles
    assert line[1] == ", ".join(titles)
