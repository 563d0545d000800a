"""Wordings in eight languages: no reading may say another thing than the print, and clear ones are not lost.

The second file was set apart before the reader was written; the shares are counted over each file alone.
"""

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from app.core.torque.text import TorqueSpec, parse_torque
from app.core.torque.units import unit_named
from app.core.torque.values import Stage

CHECKS = Path(__file__).parents[2] / "checks"
MOST_LOST = 0.05


def as_case(stage: Stage) -> dict[str, Any]:
    band = stage.torque.band if stage.torque else stage.degrees
    said: dict[str, Any] = {"type": stage.kind.value}
    if stage.torque:
        said |= {"unit": stage.torque.unit, "check": stage.check, "limit": stage.limit.value}
    return said | ({"low": float(band.low), "high": float(band.high)} if band else {})


def as_expected(stage: dict[str, Any]) -> dict[str, Any]:
    said: dict[str, Any] = {"type": stage["type"]}
    if "unit" in stage:
        said |= {"unit": unit_named(stage["unit"]), "check": False, "limit": ""}
        said |= {key: stage[key] for key in ("check", "limit") if key in stage}
    low, high = (stage.get(key, stage.get("degrees")) for key in ("min", "max"))
    return said | ({"low": low, "high": high} if low is not None else {})


def verdict(case: dict[str, Any]) -> str:
    spec, expected = parse_torque(case["text"]), [as_expected(stage) for stage in case["expected"]["stages"]]
    if not isinstance(spec, TorqueSpec):
        return "lost" if expected else "refused"
    return "right" if [as_case(stage) for stage in spec.stages] == expected else "dangerous"


@pytest.mark.parametrize("name", ["torque_wordings", "torque_wordings_apart"])
def test_no_wording_is_read_as_another_act_and_few_clear_ones_are_lost(name: str) -> None:
    cases = json.loads((CHECKS / f"{name}.json").read_text(encoding="utf-8"))
    found = {case["text"]: verdict(case) for case in cases}
    assert [text for text, said in found.items() if said == "dangerous"] == []
    counts = Counter(found.values())
    assert counts["lost"] <= MOST_LOST * (counts["right"] + counts["lost"]), [
        text for text, said in found.items() if said == "lost"
    ]
