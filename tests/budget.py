"""What the tests of each subject may take, and what they took.

A budget is the time of its tests one after the other, on two quiet cores; they run two at a time.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from pathlib import Path
from xml.etree import ElementTree as ET

TOGETHER = 2
"""How many tests run at a time on the machine that the budgets are for."""

LIMIT_S = 20 * 60
"""The longest that the whole run may ever take there, [s]."""

BUDGET_S: Mapping[str, float] = {
    "browser": 480,
    "checks": 5,
    "core/builds": 15,
    "core/consistency": 10,
    "core/find": 5,
    "core/gates": 20,
    "core/intake": 5,
    "core/items": 15,
    "core/ledger": 10,
    "core/lists": 10,
    "core/order": 35,
    "core/phases": 10,
    "core/plan": 20,
    "core/procurement": 5,
    "core/threads": 10,
    "core/tightening": 10,
    "core/torque": 40,
    "core/wording": 5,
    "core": 10,
    "paper": 30,
    "store/checking": 30,
    "store/db": 50,
    "store/demo": 35,
    "store/intake": 45,
    "store/lists": 40,
    "store/plan": 30,
    "store/procurement": 15,
    "store/rebuilding": 35,
    "store": 30,
    "story": 110,
    "vision": 30,
    "web/bay": 5,
    "web/builds": 20,
    "web/cards": 50,
    "web/cli": 30,
    "web/gates": 25,
    "web/intake": 25,
    "web/ledger": 20,
    "web/lists": 15,
    "web/phases": 10,
    "web/places": 10,
    "web/procurement": 20,
    "web/putback": 15,
    "web/server": 15,
    "web/site": 65,
    "web/takeoff": 40,
    "web/torque": 30,
    "web": 5,
    "the whole": 60,
}
"""By subject (`<room>/<package>`, or the room for what stands in it by itself), [s]."""


def subject_of(test_module: str) -> str:
    """Return the subject of a test module, such as `core/order` for `tests.core.order.test_graph`."""
    parts = test_module.split(".")[1:]
    folders = [part for part in parts if not part.startswith("test_")][:2]
    # A class of tests would come behind its module.
    folders = folders[: next((i for i, part in enumerate(parts) if part.startswith("test_")), 2)]
    return "/".join(folders) or "the whole"


def times_of(reports: Iterable[Path]) -> dict[str, float]:
    """Return the seconds that each subject's tests took, from pytest's reports in JUnit's form."""
    taken: dict[str, float] = defaultdict(float)
    for report in reports:
        for case in ET.parse(report).iter("testcase"):  # noqa: S314 - written by the run itself
            taken[subject_of(case.get("classname", ""))] += float(case.get("time", 0))
    return dict(taken)


def table(taken: Mapping[str, float], *, load: float) -> str:
    """Return the table for the end of a run; what is over its budget is marked.

    Args:
        taken: By subject, [s].
        load: How many processes wanted each core, [-].
    """
    rows = [f"{'subject':<20} {'took':>7} {'budget':>7}"]
    for subject in sorted(taken.keys() | BUDGET_S.keys()):
        took, budget = taken.get(subject, 0.0), BUDGET_S.get(subject)
        over = "  no budget yet" if budget is None else "  over" if took > budget else ""
        rows.append(f"{subject:<20} {took:>5.0f} s {budget or 0:>5.0f} s{over}")
    whole, planned = sum(taken.values()), sum(BUDGET_S.values())
    rows.append(f"{'all':<20} {whole:>5.0f} s {planned:>5.0f} s{'  over' if whole > planned else ''}")
    rows.append(f"Two at a time: {_minutes(whole)} of {_minutes(planned)}, {LIMIT_S // 60} min in the end.")
    if load > 1:
        rows.append(f"The machine was busy ({load:.1f} processes to a core): a quiet one is faster.")
    return "\n".join(rows)


def _minutes(one_by_one: float) -> str:
    return f"{one_by_one / TOGETHER / 60:.1f} min"
