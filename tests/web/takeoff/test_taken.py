"""What a device took off last, as the page without script shows it."""

import re

from app.web.takeoff.taken import MOST_SHOWN
from tests.web.conftest import Garage

PAGE = "/b/1/take-off"


def capture(garage: Garage, **fields: str) -> tuple[str, str]:
    """Take something off from the helper's page and return the item and its code."""
    code = garage.blank()
    assert garage.helper.post(PAGE, code=code, kind="part", **fields).status_code == 302
    return str(garage.one("SELECT subject FROM tag WHERE code = ?", code)).partition(":")[2], code


def number_to_write(page: str) -> str:
    found = re.search(r'<b class="stage-number">(\d+)</b>', page)
    return found[1] if found else ""


def small_ones(page: str) -> list[tuple[str, str]]:
    """Return the state and the number of each in the row of those before."""
    return re.findall(r'<li class="thumb" data-state="(\w+)">.*?thumb-badge">(\d+)<', page, re.DOTALL)


def test_the_last_one_is_large_with_its_number_and_those_before_are_small(garage: Garage) -> None:
    assert number_to_write(garage.helper.get(PAGE).text) == ""
    for _ in range(3):
        item, code = capture(garage)
    page = garage.helper.get(PAGE).text
    assert number_to_write(page) == "3"
    assert f'href="/i/{item}"' in page
    assert f"{code[:3]}-{code[3:]}" in page
    assert small_ones(page) == [("done", "2"), ("done", "1")]


def test_only_the_own_ones_are_shown(garage: Garage) -> None:
    capture(garage)
    page = garage.owner.get(PAGE).text
    assert number_to_write(page) == ""
    assert small_ones(page) == []


def test_however_many_were_taken_only_the_newest_are_shown(garage: Garage) -> None:
    for _ in range(MOST_SHOWN + 3):
        capture(garage)
    shown = small_ones(garage.helper.get(PAGE).text)
    assert [number for _, number in shown] == [str(n) for n in range(MOST_SHOWN + 2, 3, -1)]


def test_undo_is_a_form_and_what_was_undone_is_not_the_one_to_write_on(garage: Garage) -> None:
    item, _ = capture(garage)
    last, code = capture(garage)
    page = garage.helper.get(PAGE).text
    form = page[page.index('id="undo-last"') : page.index("</form>", page.index('id="undo-last"'))]
    fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form))
    fields.pop("csrf_token")
    answer = garage.helper.post(f"/i/{last}/line", **fields)

    assert answer.headers["Location"] == PAGE
    assert garage.state(last)["positions"][0]["act"] is None
    assert garage.state(item)["positions"][0]["act"] == "off"
    page = garage.helper.get(PAGE).text
    assert number_to_write(page) == "1"
    assert small_ones(page) == [("undone", "2")]

    garage.helper.post(PAGE, code=code, kind="part")
    assert "2 is not marked off: open it and mark it" in garage.helper.get(PAGE).text
