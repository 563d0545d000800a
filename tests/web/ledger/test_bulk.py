"""Marking the rest of a zone writes one line each, and never a critical one."""

import html
import json
import re

from tests.web.conftest import Garage


def zone(garage: Garage) -> str:
    return str(garage.one("SELECT min(id) FROM zone"))


def offered(garage: Garage, where: str) -> list[str]:
    page = garage.owner.get(f"/b/1/zones/{where}/mark").text
    return [html.unescape(line) for line in re.findall(r'name="line" value="([^"]+)"', page)]


def test_it_lists_what_it_will_write_and_writes_one_line_each_the_next_rung_only(garage: Garage) -> None:
    where = zone(garage)
    plug, cap = (
        garage.item(name="Fan plug", zone=where, type="electrical connector"),
        garage.item("part", zone=where),
    )
    elsewhere = garage.item("part", name="Far away")
    lines = offered(garage, where)
    assert [json.loads(line)["item"] for line in lines] == [plug, cap]
    before = garage.one("SELECT count(*) FROM journal")
    assert garage.owner.post(f"/b/1/zones/{where}/mark", line=lines).status_code == 302
    assert garage.one("SELECT count(*) FROM journal") == before + 2
    acts = [garage.state(item)["positions"][0]["act"] for item in (plug, cap, elsewhere)]
    assert acts == ["seated", "placed", "off"]


def test_sent_twice_it_is_written_once(garage: Garage) -> None:
    where = zone(garage)
    garage.item("part", zone=where)
    lines = offered(garage, where)
    garage.owner.post(f"/b/1/zones/{where}/mark", line=lines)
    before = garage.one("SELECT count(*) FROM journal")
    garage.owner.post(f"/b/1/zones/{where}/mark", line=lines)
    assert garage.one("SELECT count(*) FROM journal") == before


def test_a_critical_thing_is_not_offered_and_refused_when_sent(garage: Garage) -> None:
    where = zone(garage)
    strap = garage.item(name="Engine ground", zone=where, type="ground strap")
    assert garage.one("SELECT critical FROM item WHERE id = ?", strap) == 1
    assert offered(garage, where) == []
    assert "critical: each by itself" in garage.owner.get(f"/b/1/zones/{where}/mark").text
    line = json.dumps({"id": "a" * 32, "item": strap, "act": "seated", "after": []})
    answer = garage.owner.post(f"/b/1/zones/{where}/mark", line=line)
    assert answer.status_code == 422
    assert garage.state(strap)["positions"][0]["act"] == "off"


def test_no_rung_is_skipped_and_nothing_of_another_zone_is_taken(garage: Garage) -> None:
    where = zone(garage)
    plug, far = garage.item(name="Fan plug", zone=where), garage.item("part", name="Far away")
    for item, act in ((plug, "routed"), (far, "placed")):
        line = json.dumps({"id": "a" * 32, "item": item, "act": act, "after": []})
        assert garage.owner.post(f"/b/1/zones/{where}/mark", line=line).status_code == 422
    assert garage.owner.post(f"/b/1/zones/{where}/mark", line="{").status_code == 422


def test_it_is_reached_from_the_zones_ledger(garage: Garage) -> None:
    where = zone(garage)
    garage.item("part", zone=where)
    assert f"/b/1/zones/{where}/mark" in garage.owner.get(f"/b/1/ledger?zone={where}").text
    assert garage.owner.get("/b/1/zones/nowhere/mark").status_code == 404
