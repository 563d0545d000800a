"""Wrenches as they lie in a drawer, and what is set on them."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from app.core.problem import Problem
from app.core.torque.text import parse_torque
from app.core.torque.units import TorqueUnit
from app.core.torque.values import Torque, TorqueSpec
from app.core.torque.wrench_classes import WrenchType
from app.core.torque.wrenches import Adapter, Setting, Wrench, setting_for

TODAY = date(2031, 5, 4)
CLICK = Wrench(
    "long click",
    Decimal(40),
    Decimal(200),
    TorqueUnit.NEWTON_METRE,
    Decimal(1),
    lever_mm=400,
    checked_on=date(2031, 1, 10),
)
SMALL = replace(
    CLICK, name="small click", low=Decimal(5), high=Decimal(60), graduation=Decimal("0.5"), lever_mm=0
)
INCH = Wrench(
    "inch dial",
    Decimal(20),
    Decimal(250),
    TorqueUnit.POUND_INCH,
    Decimal(5),
    WrenchType.DIAL,
    checked_on=date(2031, 1, 10),
)
COARSE = replace(CLICK, low=Decimal(20), high=Decimal(200), graduation=Decimal(10))


def torque(text: str) -> Torque:
    spec = parse_torque(text)
    assert isinstance(spec, TorqueSpec)
    assert spec.final
    assert spec.final.torque
    return spec.final.torque


def setting(text: str, wrench: Wrench = CLICK, adapter: Adapter | None = None) -> Setting:
    found = setting_for(torque(text), wrench, adapter, TODAY)
    assert isinstance(found, Setting), found
    return found


def problem(text: str, wrench: Wrench = CLICK, adapter: Adapter | None = None) -> Problem:
    found = setting_for(torque(text), wrench, adapter, TODAY)
    assert isinstance(found, Problem), found
    return found
