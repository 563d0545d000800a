"""Where putting back is not the plain reverse: steps that wait, items put back differently, out of turn."""

import re

import pytest

from tests.web.conftest import Garage

STEP = {
    "name": "Lower the car", "name_back": "Raise it again", "height": "wheels", "people": "1",
    "minutes": "20", "direction": "both",
}  # fmt: skip


def steps(garage: Garage) -> list[str]:
    found = garage.rows("SELECT id FROM step WHERE direction = 'both' ORDER BY position")
    return [row[0] for row in found]


def keep(garage: Garage, step: str, *waits: tuple[str, str], rev: str = "1", **over: str) -> tuple[int, str]:
    answer = garage.owner.post(
        f"/steps/{step}",
        what="edit",
        rev=rev,
        predecessors=[before for before, _ in waits],
        waits_why=[why for _, why in waits],
        **{**STEP, **over},
    )
    return answer.status_code, answer.text


def listed(garage: Garage) -> list[str]:
    rows = re.findall(r'data-row="([0-9a-f]{32})"', garage.owner.get("/b/1/put-back").text)
    found = (garage.rows("SELECT number FROM item WHERE id = ?", row) for row in rows)
    return [str(number) for (number,) in (each[0] for each in found if each)]


def test_a_step_waits_for_another_and_the_list_says_why(garage: Garage) -> None:
    first, second = steps(garage)[:2]
    garage.item("part", name="Pump", step=first)
    garage.item("part", name="Tray", step=second)
    assert listed(garage) == ["2", "1"]
    assert keep(garage, second, (first, "no room else"), ("", ""))[0] == 302
    assert listed(garage) == ["1", "2"]
    assert "moved after #1 Pump because: no room else" in garage.owner.get("/b/1/put-back").text
    page = garage.owner.get(f"/steps/{second}").text
    assert f'<option value="{first}" selected>' in page
    assert 'value="no room else"' in page
    assert "Waiting for this step: Raise it again (no room else)" in garage.owner.get(f"/steps/{first}").text


@pytest.mark.parametrize(
    ("before", "why", "said"),
    [
        ("own", "so", "A step cannot wait for itself"),
        ("f" * 32, "so", "has been deleted"),
        ("first", "", "Say why it waits"),
    ],
)
def test_an_order_that_cannot_be_is_refused_and_what_was_typed_stays(
    garage: Garage, before: str, why: str, said: str
) -> None:
    first, second = steps(garage)[:2]
    unchanged = garage.everything()
    status, page = keep(garage, second, ({"own": second, "first": first}.get(before, before), why))
    assert status == 422
    assert said in page
    assert 'href="#predecessors' in page or 'href="#waits_why' in page
    assert 'value="Lower the car"' in page
    assert f'value="{why}"' in page
    assert garage.everything() == unchanged


def test_an_order_from_a_stale_page_is_refused_and_what_was_typed_stays(garage: Garage) -> None:
    first, second = steps(garage)[:2]
    assert keep(garage, second)[0] == 302
    status, page = keep(garage, second, (first, "no room else"))
    assert status == 409
    assert 'value="no room else"' in page
    written = "SELECT 1 FROM step_edge WHERE after_step = ? AND reason = 'no room else'"
    assert garage.rows(written, second) == []


def test_the_page_of_a_step_names_the_circle_that_it_refuses(garage: Garage) -> None:
    first, second = steps(garage)[:2]
    assert keep(garage, second, (first, "so"))[0] == 302
    status, page = keep(garage, first, (second, "so"), name="Raise the car")
    assert status == 422
    assert "in a circle: «" in page
    assert "«Raise it again»" in page


def test_a_deleted_step_says_what_went_with_it(garage: Garage) -> None:
    first, second = steps(garage)[-2:]
    assert keep(garage, second, (first, "so"))[0] == 302
    asked = garage.owner.post(f"/steps/{second}", what="delete").text
    assert "1 stated order: " in asked
    garage.delete_step(second)
    assert garage.rows("SELECT 1 FROM step_edge WHERE after_step = ?", second) == []


def test_what_was_typed_about_a_step_that_was_deleted_meanwhile_is_kept(garage: Garage) -> None:
    first, second = steps(garage)[-2:]
    garage.delete_step(second)
    status, page = keep(garage, second, (first, "no room else"), name="Lower it again", minutes="77")

    assert status == 409
    assert "has been deleted meanwhile" in page
    assert 'value="Lower it again"' in page
    assert 'value="77"' in page
    assert "no room else" in page
    assert 'action="/b/1/steps"' in page
    assert keep(garage, "f" * 32)[0] == 404


def group(garage: Garage) -> str:
    return garage.item("fastener", name="Arm bolts", n="2", torque="90 N·m", step=steps(garage)[1])


def differently(garage: Garage, item: str, *rows: tuple[str, str, str], rev: str = "1") -> tuple[int, str]:
    what, step, reason = zip(*rows, strict=True) if rows else ((), (), ())
    form = {"what": list(what), "step": list(step), "reason": list(reason), "rev": rev}
    answer = garage.owner.post(f"/i/{item}/exceptions", **form)
    return answer.status_code, answer.text


def rev_of(garage: Garage, item: str) -> str:
    return str(garage.one("SELECT rev FROM item WHERE id = ?", item))


def test_a_group_is_tightened_in_a_later_step_and_the_list_says_why(garage: Garage) -> None:
    item, later = group(garage), steps(garage)[0]
    rows = (("later", later, "at ride height"), ("", "", ""))
    assert differently(garage, item, *rows, rev=rev_of(garage, item))[0] == 302
    for address in ("/b/1/put-back", f"/i/{item}"):
        assert "tightened later in step «" in garage.owner.get(address).text
        assert ": at ride height" in garage.owner.get(address).text
    page = garage.owner.get(f"/i/{item}/exceptions").text
    assert '<option value="later" selected>' in page
    assert "Arm bolts</a>: tightened here, at ride height" in garage.owner.get(f"/steps/{later}").text
    assert differently(garage, item, rev=rev_of(garage, item))[0] == 302
    assert "at ride height" not in garage.owner.get("/b/1/put-back").text


@pytest.mark.parametrize(
    ("what", "step", "reason", "said"),
    [
        ("later", "", "so", "Choose the step"),
        ("later", "first", "", "Say why"),
        ("upside down", "first", "so", "Choose what is done differently"),
    ],
)
def test_an_exception_that_makes_no_sense_is_refused_and_what_was_typed_stays(
    garage: Garage, what: str, step: str, reason: str, said: str
) -> None:
    item = group(garage)
    unchanged = garage.everything()
    row = (what, steps(garage)[0] if step else "", reason)
    status, page = differently(garage, item, row, rev=rev_of(garage, item))
    assert status == 422
    assert said in page
    assert f'value="{reason}"' in page
    assert garage.everything() == unchanged


def test_an_exception_from_a_stale_page_is_refused_and_what_was_typed_stays(garage: Garage) -> None:
    item = group(garage)
    status, page = differently(garage, item, ("later", steps(garage)[0], "at ride height"), rev="0")
    assert status == 409
    assert 'value="at ride height"' in page
    assert garage.rows("SELECT 1 FROM install_exception") == []


def test_what_doing_something_now_would_skip_is_said_before_and_never_refused(garage: Garage) -> None:
    items = [garage.item("part", name=name) for name in ("Lid", "Tray", "Plate", "Pump")]
    for over, under in ((1, 2), (2, 3), (3, 4)):
        item = garage.one("SELECT id FROM item WHERE number = ?", over)
        garage.describe(item, name=garage.one("SELECT name FROM item WHERE id = ?", item), covers=f"#{under}")
    page = garage.owner.get("/b/1/put-back").text
    assert "waits for #2 Tray · doing it now skips 3 earlier: #4, #3, #2" in page
    card = garage.owner.get(f"/i/{items[0]}").text
    assert "Next: in position, skips 3 earlier</button>" in card
    assert "Out of turn: doing it now skips 3 earlier: #4, #3, #2" in card

    assert garage.owner.send(garage.mark(items[0], "placed")).status_code == 200
    assert listed(garage) == ["4", "3", "2"]


def test_what_nothing_blocks_says_how_many_earlier_are_open(garage: Garage) -> None:
    last = steps(garage)[-1]
    lid = garage.item("part", name="Lid", step=last)
    garage.item("part", name="Tray", step=last)
    card = garage.owner.get(f"/i/{lid}").text
    assert re.search(r"[1-9] earlier (is|are) still open; nothing blocks it", card)
    assert "Next: in position</button>" in card
    assert "skips" not in card


def go_after(garage: Garage, item: str, *rows: tuple[str, str], rev: str = "") -> tuple[int, str]:
    form = {"goes_after": [number for number, _ in rows], "after_why": [why for _, why in rows]}
    answer = garage.owner.post(f"/i/{item}/exceptions/after", rev=rev or rev_of(garage, item), **form)
    return answer.status_code, answer.text


def test_a_thing_goes_back_after_several_until_the_rows_are_emptied(garage: Garage) -> None:
    first, second = steps(garage)[:2]
    pump = garage.item("part", name="Pump", step=second)
    garage.item("part", name="Tray", step=first)
    garage.item("part", name="Shield", step=first)
    assert listed(garage)[0] == "1"
    assert go_after(garage, pump, ("#2", "no room"), ("Nr 3", "hides its bolt"), ("", ""))[0] == 302
    assert listed(garage)[-1] == "1"
    page = garage.owner.get(f"/i/{pump}/exceptions").text
    assert 'name="goes_after" maxlength="80" value="#2"' in page
    assert 'value="hides its bolt"' in page
    assert go_after(garage, pump, ("", ""))[0] == 302
    assert listed(garage)[0] == "1"


@pytest.mark.parametrize(
    ("number", "why", "said"),
    [
        ("#2", "", "Say why"),
        ("#1", "so", "cannot go back after itself"),
        ("#77", "so", "There is no item #77"),
        ("", "only why", "Type an item"),
    ],
)
def test_what_cannot_go_first_is_refused_and_what_was_typed_stays(
    garage: Garage, number: str, why: str, said: str
) -> None:
    pump = garage.item("part", name="Pump")
    garage.item("part", name="Tray")
    unchanged = garage.everything()
    status, page = go_after(garage, pump, (number, why))
    assert status == 422
    assert said in page
    assert f'name="goes_after" maxlength="80" value="{number}"' in page
    assert f'name="after_why" maxlength="200" value="{why}"' in page
    assert garage.everything() == unchanged


def test_a_circle_through_what_goes_first_is_named_and_refused(garage: Garage) -> None:
    pump, tray = garage.item("part", name="Pump"), garage.item("part", name="Tray")
    assert go_after(garage, pump, ("#2", "so"))[0] == 302
    status, page = go_after(garage, tray, ("#1", "so too"))
    assert status == 422
    assert "in a circle: " in page
    assert "#1 Pump" in page
    assert 'value="so too"' in page
    assert go_after(garage, pump, rev="1")[0] == 409


def test_a_side_of_the_lift_is_stated_with_a_reason_and_cleared(garage: Garage) -> None:
    pump = garage.item("part", name="Pump")
    address = f"/i/{pump}/exceptions/side"
    form = {"side": "stays_off", "side_reason": ""}
    answer = garage.owner.post(address, rev=rev_of(garage, pump), **form)
    assert answer.status_code == 422
    assert "Say why" in answer.text
    assert '<option value="stays_off" selected>' in answer.text
    form["side_reason"] = "the hook swings there"
    assert garage.owner.post(address, rev=rev_of(garage, pump), **form).status_code == 302
    page = garage.owner.get(f"/i/{pump}/exceptions").text
    assert '<option value="stays_off" selected>' in page
    assert 'value="the hook swings there"' in page
    assert garage.owner.post(address, rev=rev_of(garage, pump), side="").status_code == 302
    assert garage.rows("SELECT * FROM side_exception") == []
