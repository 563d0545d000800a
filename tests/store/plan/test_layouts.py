import json
import re
from pathlib import Path
from typing import Any

import pytest

from app.core.items.kinds import CRITICAL_TYPES, ITEM_KINDS
from app.core.items.roles import NEEDED, Role
from app.core.items.step_names import LONGEST
from app.core.order.acts import Plan, PlanStep, StepEdge
from app.core.order.plan_cycles import cycle_in
from app.core.us_uk import to_dialect
from app.store.plan.builds import LAYOUTS

SEED = Path(__file__).parents[3] / "seed_data"


def read(name: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads((SEED / name).read_text(encoding="utf-8"))
    return data


PLANS = [read(f"layouts/{key}.json") for key in LAYOUTS]
CAUTIONS = read("cautions.json")["cautions"]
VOCABULARY = read("vocabulary.json")
PAIRS = tuple((us, uk) for us, uk in read("words_us_uk.json")["pairs"])

# Areas every layout has, and its own (trade usage).
EVERYWHERE = (
    "battery and fuse box",
    "intake and air cleaner",
    "firewall left",
    "firewall centre",
    "firewall right",
    "cowl above the firewall",
    "left inner fender",
    "right inner fender",
    "radiator support",
    "underbody front",
    "exhaust tunnel",
    "fuel tank and lines",
    "cabin side of firewall",
    "oil pan",
)
OWN = {
    "longitudinal_v": (
        "front accessory drive",
        "front cover",
        "intake valley",
        "left bank: valve cover",
        "left bank: spark side",
        "left bank: outboard exhaust side",
        "right bank: valve cover",
        "right bank: spark side",
        "right bank: outboard exhaust side",
        "rear of block",
        "bellhousing",
        "left engine mount",
        "right engine mount",
        "starter pocket",
    ),
    "longitudinal_inline": (
        "front drive",
        "intake side or exhaust side, left",
        "intake side or exhaust side, right",
        "top: cam cover, coils, injectors",
        "rear of block",
        "bellhousing",
        "left engine mount",
        "right engine mount",
    ),
    "transverse": (
        "pulley end",
        "gearbox end and shift cables",
        "front side facing radiator",
        "rear side facing firewall",
        "top",
        "below: front roll restrictor",
        "below: rear roll restrictor",
        "left driveshaft",
        "right driveshaft",
    ),
    "transverse_v": (
        "pulley end",
        "gearbox end and shift cables",
        "front bank: valve cover",
        "front bank: outboard exhaust side and crossover pipe",
        "rear bank, hidden: valve cover",
        "rear side, downpipe",
        "upper intake (plenum) and valley",
        "below: front roll restrictor",
        "below: rear roll restrictor",
        "left driveshaft",
        "right driveshaft",
        "transfer unit",
    ),
    "flat_front": (
        "front accessory drive",
        "front cover",
        "left head",
        "right head",
        "top: intake, throttle body",
        "under heads: exhaust, left",
        "under heads: exhaust, right",
        "rear of block",
        "starter, from above",
        "bellhousing",
        "transmission linkage",
        "left engine mount",
        "right engine mount",
        "left driveshaft",
        "right driveshaft",
    ),
    "flat_rear": (
        "left head",
        "right head",
        "top: intake, fan shroud",
        "under heads: exhaust, heat exchangers, oil return, left",
        "under heads: exhaust, heat exchangers, oil return, right",
        "pulley end",
        "flywheel and gearbox end",
        "engine carrier and mounts",
        "engine-lid harness",
        "forward tank, heater and brake-line tunnel",
    ),
}


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_every_area_of_the_trade_has_a_zone(layout: dict[str, Any]) -> None:
    areas = [area for zone in layout["zones"] for area in zone["areas"]]

    missing = [
        want for want in EVERYWHERE + OWN[layout["key"]] if not any(area.startswith(want) for area in areas)
    ]
    assert missing == []


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_every_zone_is_drawn_once_on_its_level(layout: dict[str, Any]) -> None:
    keys = [zone["key"] for zone in layout["zones"]]

    assert len(set(keys)) == len(keys)
    for level in ("above", "below"):
        assert layout["drawing"][level]["zones"] == [z["key"] for z in layout["zones"] if z["level"] == level]
    assert {zone["level"] for zone in layout["zones"]} == {"above", "below"}


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_each_drawing_shows_what_one_knows_an_engine_by(layout: dict[str, Any]) -> None:
    for level, drawing in layout["drawing"].items():
        known_by = ("tires", "tread", "metal", "runners", *(("belt",) if level == "above" else ()))
        assert all(drawing[kind] for kind in known_by), level


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_a_glove_finds_every_zone_on_a_narrow_phone(layout: dict[str, Any]) -> None:
    # 360 px wide less two margins of 16 px; the drawing is that wide.
    for zone in layout["zones"]:
        scale = 328 / int(layout["drawing"][zone["level"]]["view_box"].split()[2])
        _, _, width, height = zone["hit"]
        assert min(width, height) * scale >= 47, zone["key"]


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_no_two_zones_answer_the_same_tap(layout: dict[str, Any]) -> None:
    for level in ("above", "below"):
        hits = [(z["key"], *z["hit"]) for z in layout["zones"] if z["level"] == level]
        for i, (one, x, y, w, h) in enumerate(hits):
            for other, x2, y2, w2, h2 in hits[i + 1 :]:
                apart = x + w <= x2 or x2 + w2 <= x or y + h <= y2 or y2 + h2 <= y
                assert apart, (one, other)


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_labels_and_counts_stand_inside_their_zone(layout: dict[str, Any]) -> None:
    for zone in layout["zones"]:
        x, y, w, h = zone["hit"]
        for at_x, at_y in (zone["label_at"], zone["count_at"]):
            assert x < at_x < x + w, zone["key"]
            assert y < at_y < y + h, zone["key"]


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_uk_labels_are_the_us_ones_in_uk_text(layout: dict[str, Any]) -> None:
    for zone in layout["zones"]:
        label = zone["label"]
        shown = to_dialect(label["us"], "uk", PAIRS)
        # A driveshaft to the rear axle is a propshaft in the UK; one to a wheel is a driveshaft in both.
        assert label["uk"] in (shown, shown.replace("driveshaft", "propshaft")), zone["key"]


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_no_place_is_called_by_a_bank_number_or_the_front_of_the_engine(layout: dict[str, Any]) -> None:
    for zone in layout["zones"]:
        assert not re.search(r"bank \d|engine front", zone["label"]["us"], re.IGNORECASE)


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_starter_steps_name_known_zones_and_cautions(layout: dict[str, Any]) -> None:
    zones = {zone["key"] for zone in layout["zones"]}
    steps = layout["steps"]

    assert 20 <= len(steps) <= 28
    assert len({step["key"] for step in steps}) == len(steps)
    for step in steps:
        assert set(step["zones"]) <= zones, step["key"]
        assert set(step["cautions"]) <= set(CAUTIONS), step["key"]
        assert step["height"] in ("wheels", "stands", "lift", "ground", "bench")
        assert step["direction"] in ("both", "off_only", "on_only")
        assert step["people"] >= 1
        assert step["minutes"] > 0


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_put_back_fills_then_primes_then_starts(layout: dict[str, Any]) -> None:
    back = [step["key"] for step in reversed(layout["steps"]) if step["direction"] != "off_only"]

    assert back.index("battery") < back.index("fill") < back.index("prime") < back.index("first_start")


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_priming_filling_and_bleeding_exist_on_the_way_back_only(layout: dict[str, Any]) -> None:
    words = ("crank for oil pressure", "fill", "bleed")
    named = {word: [s for s in layout["steps"] if word in s["name"].lower()] for word in words}

    assert all(named.values())
    assert {s["direction"] for steps in named.values() for s in steps} == {"on_only"}


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_putting_back_begins_with_parts_moved_across_and_dressing_on_the_bench(
    layout: dict[str, Any],
) -> None:
    first = layout["steps"][:-3:-1]

    assert [(step["key"], step["height"], step["direction"]) for step in first] == [
        ("transfer", "bench", "on_only"), ("dress", "bench", "on_only"),
    ]  # fmt: skip


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_each_layout_has_every_role_that_gates_and_plan_need_once(layout: dict[str, Any]) -> None:
    roles = [Role(step["role"]) for step in layout["steps"]]

    once = (*NEEDED, Role.PRIME, Role.FILL, Role.BATTERY, Role.MOVE)
    assert [roles.count(role) for role in once] == [1] * len(once)
    assert Role.BENCH in roles


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_each_step_has_a_name_and_an_instruction_for_each_way_that_it_goes(layout: dict[str, Any]) -> None:
    for step in layout["steps"]:
        both = step["direction"] == "both" or step["role"] == Role.DRAIN  # which leaves drains to close
        assert (bool(step["name_back"]), bool(step["instruction_back"])) == (both, both), step["key"]
        assert step["name"] != step["name_back"], step["key"]
        assert step["instruction"]
        assert step["source"]
        assert max(len(step["name"]), len(step["name_back"])) <= LONGEST
        assert max(len(step["instruction"]), len(step["instruction_back"])) <= 600


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_starter_steps_are_stored_in_us_words(layout: dict[str, Any]) -> None:
    for step in layout["steps"]:
        for key in ("name", "name_back", "instruction", "instruction_back"):
            assert to_dialect(step[key], "us", PAIRS) == step[key], step["key"]


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_the_battery_is_said_in_the_safe_order_each_way(layout: dict[str, Any]) -> None:
    battery = next(step for step in layout["steps"] if step["key"] == "battery")

    assert re.search(r"negative cable off first.*then the positive", battery["instruction"])
    assert re.search(r"positive and last the negative", battery["instruction_back"])


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_what_hides_leaks_goes_on_after_the_start_and_before_the_drive(layout: dict[str, Any]) -> None:
    stated = {(edge["before"], edge["after"]) for edge in layout["step_edges"]}

    assert {("first_start", "undertray"), ("undertray", "first_drive")} <= stated


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_steps_that_lift_the_engine_warn_of_what_hangs(layout: dict[str, Any]) -> None:
    lifts = [step for step in layout["steps"] if step["key"] in ("lift_out", "lower_out")]

    assert lifts
    for step in lifts:
        assert {"under_engine", "crane_low", "balance_shift"} <= set(step["cautions"])


def test_every_caution_says_what_and_where() -> None:
    for key, caution in CAUTIONS.items():
        assert set(caution) == {"title", "text", "applies"}, key
        assert 20 < len(caution["text"]) <= 200, key


def test_critical_sorts_of_connection_are_the_ledgers() -> None:
    critical = {entry["type"] for entry in VOCABULARY["connections"] if entry["critical"]}

    assert critical == CRITICAL_TYPES


def test_every_list_of_words_names_its_source_and_repeats_nothing() -> None:
    for section in (VOCABULARY, VOCABULARY["names"], *VOCABULARY["connections"]):
        assert section is VOCABULARY["names"] or section["source"]
        for words in (value for value in section.values() if isinstance(value, list)):
            texts = [word["type"] if isinstance(word, dict) else word for word in words]
            assert len(set(texts)) == len(texts), texts


def test_every_kind_has_names_to_suggest() -> None:
    assert set(VOCABULARY["names"]) == {kind.value for kind in ITEM_KINDS}


@pytest.mark.parametrize("layout", PLANS, ids=LAYOUTS)
def test_the_starter_steps_that_wait_name_steps_of_the_way_back_and_go_round_in_no_circle(
    layout: dict[str, Any],
) -> None:
    steps = tuple(PlanStep(s["key"], i, s["direction"]) for i, s in enumerate(layout["steps"]))
    stated = tuple(StepEdge(e["before"], e["after"], e["reason"]) for e in layout["step_edges"])
    back = {step.id for step in steps if step.direction != "off_only"}

    assert {("fill", "prime"), ("prime", "first_start")} <= {(e.before, e.after) for e in stated}
    assert all({e.before, e.after} <= back and e.reason for e in stated)
    assert cycle_in(Plan((), steps, step_edges=stated)) == ()
