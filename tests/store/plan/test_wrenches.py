from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from app.core.problem import STALE
from app.core.torque.units import TorqueUnit
from app.core.torque.wrenches import Adapter, Wrench, WrenchType
from app.store.db.models import AdapterRow, WrenchRow
from app.store.plan.wrenches import GONE, Edit, adapters, remove, save_adapter, save_wrench, wrenches
from tests.store.garage import NOON, NOW, Garage

TODAY = NOON.date()
SMALL = Wrench(
    "Small click",
    Decimal("5.0"),
    Decimal(25),
    TorqueUnit.NEWTON_METRE,
    Decimal("0.5"),
    WrenchType.CLICK,
    250.0,
    date(2031, 1, 2),
)


def keep(garage: Garage, wrench: Wrench, of: str = "", rev: int = 0) -> list[str]:
    with garage.database.unit_of_work() as session:
        change = Edit(garage.writer, NOW, of, rev)
        return [
            problem.where or problem.code for problem in save_wrench(session, wrench, change, today=TODAY)
        ]


def keep_adapter(garage: Garage, adapter: Adapter) -> list[str]:
    with garage.database.unit_of_work() as session:
        return [problem.where for problem in save_adapter(session, adapter, Edit(garage.writer, NOW))]


def test_a_wrench_is_read_as_it_was_written_digit_for_digit(garage: Garage) -> None:
    assert keep(garage, SMALL) == []
    with garage.database.reading() as session:
        (kept,) = wrenches(session)
    assert (kept.wrench, str(kept.wrench.low), kept.rev) == (SMALL, "5.0", 1)


def test_every_change_is_a_line_of_no_build(garage: Garage) -> None:
    keep(garage, SMALL)
    ((wrench,),) = garage.ask("SELECT id FROM wrench")
    keep(garage, replace(SMALL, name="Click"), wrench, 1)
    with garage.database.unit_of_work() as session:
        assert remove(session, WrenchRow, Edit(garage.writer, NOW, wrench)) == "Click"
    lines = garage.ask(
        "SELECT verb, build_id, person FROM journal WHERE subject LIKE 'wrench:%' ORDER BY seq"
    )
    assert lines == [(verb, None, garage.ada.person) for verb in ("add", "edit", "edit")]
    assert garage.ask("SELECT * FROM wrench") == []


def test_an_adapter_is_kept_told_and_removed(garage: Garage) -> None:
    crow_foot = Adapter("Crow-foot", 45.5, 90.0)
    assert keep_adapter(garage, crow_foot) == []
    with garage.database.unit_of_work() as session:
        (kept,) = adapters(session)
        assert kept.adapter == crow_foot
        assert remove(session, AdapterRow, Edit(garage.writer, NOW, kept.id)) == "Crow-foot"
        assert remove(session, AdapterRow, Edit(garage.writer, NOW, kept.id)) == ""
    lines = garage.ask("SELECT verb, build_id FROM journal WHERE subject LIKE 'adapter:%'")
    assert lines == [("add", None), ("edit", None)]


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"low": Decimal(0)}, "low"),
        ({"high": Decimal(-25)}, "high"),
        ({"graduation": Decimal("nan")}, "graduation"),
        ({"low": Decimal(30)}, "low"),
        ({"high": Decimal("1e9")}, "high"),
        ({"high": Decimal(6000), "unit": TorqueUnit.POUND_FOOT}, "high"),
        ({"lever_mm": -1.0}, "lever_mm"),
        ({"lever_mm": 1e9}, "lever_mm"),
        ({"checked_on": date(2031, 5, 5)}, "checked_on"),
    ],
)
def test_a_wrench_that_cannot_be_is_not_kept(garage: Garage, wrong: dict[str, object], field: str) -> None:
    before = garage.rows()
    assert keep(garage, replace(SMALL, **wrong)) == [field]  # type: ignore[arg-type] # by field
    assert garage.rows() == before


def test_a_check_of_today_and_a_great_range_in_small_units_are_kept(garage: Garage) -> None:
    wide = replace(SMALL, high=Decimal(6000), unit=TorqueUnit.POUND_INCH, checked_on=TODAY)
    assert keep(garage, wide) == []


@pytest.mark.parametrize(
    ("length", "angle", "field"),
    [
        (0.0, 0.0, "length_mm"),
        (-40.0, 0.0, "length_mm"),
        (float("nan"), 0.0, "length_mm"),
        (1e9, 0.0, "length_mm"),
        (40.0, 181.0, "angle_deg"),
        (40.0, -1.0, "angle_deg"),
        (40.0, float("inf"), "angle_deg"),
        (250.0, 180.0, "length_mm"),
        (300.0, 180.0, "length_mm"),
    ],
)
def test_an_adapter_that_gives_no_setting_is_not_kept(
    garage: Garage, length: float, angle: float, field: str
) -> None:
    keep(garage, SMALL)
    before = garage.rows()
    assert keep_adapter(garage, Adapter("Odd", length, angle)) == [field]
    assert garage.rows() == before


def test_an_adapter_too_long_for_one_wrench_is_kept_for_a_longer_one(garage: Garage) -> None:
    keep(garage, SMALL)
    keep(garage, replace(SMALL, name="Long", lever_mm=500.0))
    assert keep_adapter(garage, Adapter("Backward", 300.0, 180.0)) == []


def test_a_name_is_given_once(garage: Garage) -> None:
    keep(garage, SMALL)
    ((wrench,),) = garage.ask("SELECT id FROM wrench")
    assert keep(garage, SMALL) == ["name"]
    assert keep(garage, replace(SMALL, high=Decimal(30)), wrench, 1) == []
    keep_adapter(garage, Adapter("Odd", 40.0))
    assert keep_adapter(garage, Adapter("Odd", 50.0)) == ["name"]


def test_a_change_over_another_s_change_is_not_written(garage: Garage) -> None:
    keep(garage, SMALL)
    ((wrench,),) = garage.ask("SELECT id FROM wrench")
    assert keep(garage, replace(SMALL, name="Hers"), wrench, 1) == []
    assert keep(garage, replace(SMALL, name="His"), wrench, 1) == [STALE.code]
    assert keep(garage, SMALL, "f" * 32, 1) == [GONE.code]
    assert garage.ask("SELECT name, rev FROM wrench") == [("Hers", 2)]
