"""The page of the steps: both names, roles, moving several, deleting with a question and undoing it."""

import re

import pytest
from sqlalchemy import update

from app.store.db.models import Step
from tests.web.conftest import Garage

STEP = {"name": "Pipes off", "height": "stands", "people": "1", "minutes": "20", "direction": "both"}
WORDS = {"name_back": "", "role": "joints", "instruction": "Evenly.", "instruction_back": "By hand first."}


def step(garage: Garage, name: str) -> str:
    return str(garage.one("SELECT id FROM step WHERE name = ?", name))


def take_roles(garage: Garage, *roles: str) -> None:
    """Take roles from all steps, before any page has read the plan."""
    with garage.folder.database.unit_of_work() as session:
        session.execute(update(Step).where(Step.role.in_(roles)).values(role=""))


def row(garage: Garage, step_id: str) -> tuple[object, ...]:
    columns = "name, name_back, role, instruction, instruction_back, for_helper"
    return garage.rows(f"SELECT {columns} FROM step WHERE id = ?", step_id)[0]  # noqa: S608 - names of this test


def test_an_own_step_has_a_proposed_name_for_the_way_back_that_can_be_changed(garage: Garage) -> None:
    garage.owner.post("/b/1/steps", **STEP, **WORDS)
    pipes = step(garage, "Pipes off")
    assert row(garage, pipes) == ("Pipes off", "", "joints", "Evenly.", "By hand first.", 0)
    garage.item("part", name="Pipe", step=pipes)
    assert "Empty: “Pipes back on”." in garage.owner.get(f"/steps/{pipes}").text
    assert "Pipes back on" in garage.owner.get("/b/1/put-back").text

    changed = STEP | WORDS | {"name_back": "Pipes on, loosely", "for_helper": "y"}
    assert garage.owner.post(f"/steps/{pipes}", what="edit", rev="1", **changed).status_code == 302
    assert row(garage, pipes)[1:3] == ("Pipes on, loosely", "joints")
    assert row(garage, pipes)[-1] == 1
    for address in ("/b/1/put-back", "/b/1/now", "/b/1/plan", "/b/1/ledger?by=step"):
        page = garage.owner.get(address).text
        assert "Pipes on, loosely" in page, address
        assert "Pipes off" not in page, address
    assert "By hand first." in garage.owner.get("/b/1/put-back").text
    assert "Evenly." not in garage.owner.get("/b/1/put-back").text
    assert "Evenly." in garage.owner.get("/b/1/take-off").text


def test_a_missing_lift_is_said_on_steps_plan_and_gates_until_a_step_is_chosen(garage: Garage) -> None:
    lift = step(garage, "Engine and transmission out")
    take_roles(garage, "lift")
    garage.item("part", name="Mount", step=lift)
    said = "No step is marked as the lift"
    pages = ("/b/1/steps", f"/steps/{lift}", "/b/1/plan", "/b/1/gates/lift", "/b/1/gates/mating")
    for address in pages:
        assert said in garage.owner.get(address).text, address
    page = garage.owner.get("/b/1/gates/lift").text
    assert f'<option value="{lift}" selected>' in page
    assert said in garage.helper.get("/b/1/gates/lift").text
    assert "It is this step" not in garage.helper.get("/b/1/gates/lift").text

    form = {"role": "lift", "step": lift, "back": "/b/1/gates/lift"}
    assert garage.helper.post("/b/1/steps/role", **form).status_code == 403
    answer = garage.owner.post("/b/1/steps/role", **form)
    assert answer.headers["Location"] == "/b/1/gates/lift"
    for address in pages:
        assert said not in garage.owner.get(address).text, address


def test_a_role_that_is_none_or_a_step_that_is_gone_is_refused(garage: Garage) -> None:
    before = garage.everything()
    assert garage.owner.post("/b/1/steps/role", role="pilot", step="x").status_code == 404
    garage.owner.post("/b/1/steps/role", role="lift", step="f" * 32)
    assert garage.everything() == before
    assert "Choose a step" in garage.owner.get("/b/1/steps").text


def test_a_mating_gate_that_knows_neither_lift_nor_bench_stays_shut(garage: Garage) -> None:
    take_roles(garage, "lift", "bench")
    page = garage.owner.get("/b/1/gates/mating").text
    assert "a step without its role" in page
    assert 'name="body.open" value="role lift"' in page


def test_several_steps_are_moved_behind_another(garage: Garage) -> None:
    order = [r[0] for r in garage.rows("SELECT id FROM step ORDER BY position")]
    moved = garage.owner.post("/b/1/steps/order", chosen=[order[5], order[3]], after=order[8])
    assert moved.status_code == 302
    now = [r[0] for r in garage.rows("SELECT id FROM step ORDER BY position")]
    at = now.index(order[8])
    assert now[at + 1 : at + 3] == [order[3], order[5]]

    refused = garage.owner.post("/b/1/steps/order", after=order[8])
    assert refused.status_code == 422
    assert "Tick the steps that are to be moved" in refused.text


def test_deleting_asks_says_what_goes_with_it_and_can_be_undone(garage: Garage) -> None:
    battery = step(garage, "Battery off")
    cable = garage.item("part", name="Cable", step=battery)
    before = garage.rows("SELECT * FROM step ORDER BY id"), set(garage.rows("SELECT * FROM step_edge"))
    asked = garage.owner.post(f"/steps/{battery}", what="delete")
    assert asked.status_code == 200
    assert "3 stated orders" in asked.text
    assert "1 thing loses its step" in asked.text
    assert "no spark near an open fuel line" in asked.text
    assert garage.rows("SELECT 1 FROM step WHERE id = ?", battery) == [(1,)]

    garage.item("part", name="Clamp", step=battery)
    stale = garage.owner.post(f"/steps/{battery}", what="delete", goes_with="3/0/1")
    assert (stale.status_code, "2 things lose their step" in stale.text) == (409, True)

    garage.delete_step(battery)
    assert garage.one("SELECT step_id FROM item WHERE id = ?", cable) is None
    page = garage.owner.get("/b/1/steps").text
    line = re.search(r'name="line" value="([0-9a-f]{32})"', page)
    assert line
    assert garage.helper.post("/b/1/steps/undo", line=line[1]).status_code == 403
    assert garage.owner.post("/b/1/steps/undo", line=line[1]).status_code == 302
    assert garage.one("SELECT step_id FROM item WHERE id = ?", cable) == battery
    after = garage.rows("SELECT * FROM step ORDER BY id"), set(garage.rows("SELECT * FROM step_edge"))
    assert after == before
    assert 'name="line"' not in garage.owner.get("/b/1/steps").text


def test_a_step_is_added_changed_moved_and_deleted(garage: Garage) -> None:
    garage.owner.post("/b/1/steps", **STEP)
    step = garage.one("SELECT id FROM step WHERE name = ?", STEP["name"])
    last = garage.one("SELECT position FROM step WHERE id = ?", step)
    garage.owner.post(f"/steps/{step}", what="earlier")
    assert garage.one("SELECT position FROM step WHERE id = ?", step) == last - 1
    garage.owner.post(f"/steps/{step}", rev="1", **{**STEP, "minutes": "45"})
    assert garage.one("SELECT minutes FROM step WHERE id = ?", step) == 45
    stale = garage.owner.post(f"/steps/{step}", rev="1", **{**STEP, "minutes": "50"})
    assert (stale.status_code, 'value="50"' in stale.text) == (409, True)
    garage.delete_step(step)
    assert garage.rows("SELECT 1 FROM step WHERE id = ?", step) == []


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", " "),
        ("people", "0"),
        ("people", "10"),
        ("minutes", "-1"),
        ("minutes", "soon"),
        ("height", "moon"),
        ("direction", "up"),
    ],
)
def test_a_step_out_of_range_is_refused(garage: Garage, field: str, value: str) -> None:
    step, before = garage.one("SELECT id FROM step"), garage.everything()
    for address in ("/b/1/steps", f"/steps/{step}"):
        assert garage.owner.post(address, rev="1", **{**STEP, field: value}).status_code == 422
    assert garage.everything() == before


def test_the_order_as_done_is_offered_and_taken_over_once(garage: Garage) -> None:
    rows = garage.rows("SELECT id FROM step WHERE direction = 'both' ORDER BY position LIMIT 2")
    first, second = (each[0] for each in rows)
    garage.item("part", name="Pump", step=first)
    said = "Taken off in another order than the plan"
    assert said not in garage.owner.get("/b/1/steps").text
    garage.owner.post("/b/1/steps/order", chosen=[second], after="")
    garage.item("part", name="Tray", step=second)

    page = garage.owner.get("/b/1/steps").text
    assert said in page
    done = re.search(r'name="done" value="([^"]+)"', page)
    assert done
    old, unchanged = done[1], garage.everything()
    assert garage.owner.post("/b/1/steps/as-done", done=" ".join(reversed(old.split()))).status_code == 409
    assert garage.helper.post("/b/1/steps/as-done", done=old).status_code == 403
    assert garage.everything() == unchanged
    assert garage.owner.post("/b/1/steps/as-done", done=old).status_code == 302
    assert " ".join(row[0] for row in garage.rows("SELECT id FROM step ORDER BY position")) == old
    assert said not in garage.owner.get("/b/1/steps").text
    assert garage.one("SELECT verb FROM journal ORDER BY seq DESC") == "edit"


def test_the_plans_order_is_kept_until_the_teardown_goes_another_way(garage: Garage) -> None:
    rows = garage.rows("SELECT id FROM step WHERE direction = 'both' ORDER BY position LIMIT 3")
    first, second, third = (each[0] for each in rows)
    garage.item("part", name="Tray", step=second)
    garage.item("part", name="Pump", step=first)
    stop, kept = 'class="stop" role="note" id="as-done"', "the plan’s order is kept"
    page = garage.owner.get("/b/1/steps").text
    done = re.search(r'name="done" value="([^"]+)"', page)
    assert done
    assert stop in page
    order = garage.rows("SELECT id FROM step ORDER BY position")
    assert garage.helper.post("/b/1/steps/as-done", done=done[1], what="keep").status_code == 403
    assert garage.owner.post("/b/1/steps/as-done", done=done[1], what="keep").status_code == 302
    page = garage.owner.get("/b/1/steps").text
    assert kept in page
    assert stop not in page
    assert "Use the order as done" in page
    assert garage.rows("SELECT id FROM step ORDER BY position") == order

    garage.item("part", name="Bracket", step=third)
    assert stop in garage.owner.get("/b/1/steps").text
