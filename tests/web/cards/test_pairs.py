"""Both halves of a look-alike: asked at the latch, a wrong partner refused and the right one named."""

import html
import re

from tests.web.conftest import Garage

ENDS = {
    "end_label": ["harness", "injector {}"],
    "end_owner": ["part", "old engine"],
    "type": "electrical connector",
}


def plug(garage: Garage, n: int) -> tuple[str, str]:
    """An injector plug that asks for both halves, seated, and its code."""
    item = garage.item(
        name=f"Injector plug {n}",
        end_label=["harness", f"injector {n}"],
        end_owner=["part", "old engine"],
        type="electrical connector",
        look_alike="injectors",
        both_halves="y",
    )
    assert garage.owner.send(garage.mark(item, "seated")).status_code == 200
    return item, str(garage.one("SELECT code FROM tag WHERE subject = ?", f"item:{item}"))


def latch(garage: Garage, item: str, **form: str) -> tuple[int, str]:
    after = [row[0] for row in garage.rows("SELECT id FROM journal WHERE subject = ?", f"item:{item}")]
    answer = garage.owner.post(f"/i/{item}/line", verb="mark", act="latched", after=after, **form)
    return answer.status_code, html.unescape(answer.text)


def test_half_a_of_number_three_and_half_b_of_number_four_are_refused_and_the_right_one_is_named(
    garage: Garage,
) -> None:
    (three, own), (_, other) = plug(garage, 3), plug(garage, 4)
    status, page = latch(garage, three, half="A", via=f"{other}/B")
    assert status == 422
    assert "That is half B of #2 Injector plug 4; this is #1 Injector plug 3: its partner is half B" in page
    assert f"injector 3 ({own[:3]}-{own[3:]})" in page
    assert garage.state(three)["positions"][0]["act"] == "seated"

    assert latch(garage, three, half="A", via=f"{own}/B")[0] == 302
    position = garage.state(three)["positions"][0]
    assert (position["act"], position["via"]) == ("latched", f"{own}/B")


def test_a_phones_entry_with_the_wrong_partner_is_told_so(garage: Garage) -> None:
    (three, own), (_, other) = plug(garage, 3), plug(garage, 4)
    refused = garage.owner.send(garage.mark(three, "latched", body={"act": "latched", "via": f"{other} B"}))
    assert refused.status_code == 422
    assert "its partner is half B, injector 3" in refused.json["problem"]  # type: ignore[index] # JSON of ours
    assert (
        garage.owner.send(garage.mark(three, "latched", body={"act": "latched", "via": own})).status_code
        == 200
    )


def test_the_card_asks_at_the_latch_and_not_before(garage: Garage) -> None:
    item, _ = plug(garage, 3)
    page = garage.owner.get(f"/i/{item}").text
    assert re.search(r'data-when="halves">', page)
    status, said = latch(garage, item, via="")
    assert status == 422
    assert "Scan or type the code on the other half." in said


def test_two_scans_one_after_the_other_fill_the_code_in_or_say_that_they_do_not_fit(garage: Garage) -> None:
    (three, own), (four, _) = plug(garage, 3), plug(garage, 4)
    assert "you hold A" in garage.owner.get(f"/i/{three}?half=A").text
    wrong = html.unescape(garage.owner.get(f"/i/{four}?half=B").text)
    assert "That is half B of #2 Injector plug 4; this is #1 Injector plug 3" in wrong
    right = garage.owner.get(f"/i/{three}?half=B").text
    assert f'name="via" value="{own}/B"' in right
    assert 'name="half" value="A"' in right


def test_without_the_other_half_read_it_stays_open(garage: Garage) -> None:
    item, _ = plug(garage, 3)
    for act in ("latched", "routed"):
        garage.owner.send(garage.mark(item, act))
    page = garage.owner.get(f"/i/{item}").text
    assert "the code on its other half was not read" in page
    assert "Next: latched" in page


def test_look_alikes_stand_side_by_side_with_their_photos(garage: Garage) -> None:
    (three, _), (four, code) = plug(garage, 3), plug(garage, 4)
    garage.owner.send(garage.capture(code=code), garage.photo(code))
    photo = garage.one("SELECT photo_id FROM shows WHERE subject = ?", f"item:{four}")
    page = garage.owner.get(f"/i/{three}").text
    row = page[page.index("alike-row") :]
    row = row[: row.index("</ul>")]
    assert "This one: #1" in row
    assert f'href="/i/{four}"' in row
    assert f"/photos/{photo}" in row or photo in row


def test_a_thing_taken_off_again_says_its_round_and_why(garage: Garage) -> None:
    item = garage.item("part", name="Intake manifold")
    garage.owner.send(garage.mark(item, "placed"))
    assert "Why, if it comes off again" in garage.owner.get(f"/i/{item}").text
    after = [row[0] for row in garage.rows("SELECT id FROM journal WHERE subject = ?", f"item:{item}")]
    garage.owner.post(f"/i/{item}/line", verb="mark", act="off", reason="trial fit", after=after)
    page = garage.owner.get(f"/i/{item}").text
    assert "Round 2" in page
    assert "off: trial fit" in page
