from typing import Any

import pytest

from app.core.items.bodies.papers import GivePhoto, GiveTag
from app.core.items.bodies.reading import PHONE_VERBS, VERBS, Unknown, read_body, record_type

HEX = "0" * 32
STORED: list[tuple[str, str, dict[str, Any]]] = [
    ("mark", "item:1", {"act": "tight", "pos": [1, 2], "reached": "25 N·m", "piece": "renewed"}),
    ("mark", "item:1", {"act": "stage", "stage": 2, "alone": True, "litres": 4.5, "reason": "so"}),
    ("count", "item:1", {"piece": "", "pos": [3]}),
    ("count", "item:1", {"lengths": "1-8: 25"}),
    ("settle", "item:1", {"destiny": "refit", "reason": "both looked"}),
    ("move", "item:1", {"place": ""}),
    ("dispose", "item:1", {"destiny": "left_out", "reason": "so"}),
    ("fate", "item:1", {"fate": "sold"}),
    ("acknowledge", "item:1", {"caution": "far-above", "torque": "900 N·m"}),
    ("confirm", "item:1", {"torque": "min. 25 N·m", "reading": "min. 25 N·m"}),
    ("mark", "item:1", {"act": "tight", "reached": "80 lb·in", "told": "clicked", "setting": "75 lb·in"}),
    ("undo", "gate:1", {"line": HEX}),
    ("answer", "gate:1", {"gate": "lift", "question": "q", "value": {"high": "4"}}),
    ("pass", "gate:1", {"gate": "lift", "open": ["a"], "reason": "so"}),
    ("start", "gate:1", {"gate": "start", "on": "2031-05-04", "km": "12"}),
    ("recheck", "gate:1", {"text": "wheel nuts", "due": "2031-05-04"}),
    ("stop", "build:1", {"note": "rain"}),
    ("add", "item:1", {"kind": "fastener", "n": None, "act": "off", "edges": {"holds": [HEX]}, "rev": 1}),
    ("edit", "item:1", {"name": "bolts", "exceptions": [["twice", HEX, 1, "so"]], "moves_to": []}),
    ("add", "step:1", {"name": "lift", "cautions": ["crane_low"], "shares_zone": True}),
    ("edit", "step:1", {"predecessors": [[HEX, "so"]], "order": [HEX]}),
    ("add", "build:1", {"title": "van", "zones": [{"id": HEX, "position": 1, "key": "", "level": "above"}]}),
    ("edit", "build:1", {"dialect": "uk", "list": 7}),
    ("give", "tag:7K3F9QQ", {"to": "item:1"}),
    ("give", "photo:1", {"shows": ["item:1"]}),
    ("edit", "tag:7K3F9QQ", {"to": None, "sheet": HEX, "void_at": None}),
    ("treat", "item:1", {"wait": HEX, "category": "get", "price_minor": None, "count": 2, "done_on": None}),
    ("edit", "wrench:1", {"deleted": "long one"}),
    ("edit", "folder:1", {"afresh": True, "stated": "upgrade"}),
]


@pytest.mark.parametrize(("verb", "subject", "stored"), STORED)
def test_what_is_stored_is_read_and_stored_again_alike(
    verb: str, subject: str, stored: dict[str, Any]
) -> None:
    record = read_body(verb, subject, stored)

    assert not isinstance(record, Unknown)
    assert record.stored() == stored
    assert type(record).check(stored) is None
    assert type(record).unknown(stored) == ()


@pytest.mark.parametrize("verb", sorted(VERBS))
def test_every_verb_has_a_record(verb: str) -> None:
    nouns = ("item", "tag", "photo", "build", "gate")

    assert any(record_type(verb, noun) is not Unknown for noun in nouns)
    assert {record_type(verb, noun).VERB for noun in nouns} <= {verb, ""}


def test_what_only_the_server_says_is_no_verb_of_a_phone() -> None:
    assert not PHONE_VERBS & {"add", "edit", "give", "void", "photo", "treat"}
    assert record_type("give", "tag") is GiveTag
    assert record_type("give", "photo") is GivePhoto
    assert record_type("drop", "item") is Unknown
