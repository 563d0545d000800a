"""The gates' pages: red until nothing is open and somebody passed them by name."""

import html
import json
import re
from typing import Any

from app.core.gates.gates import gate_subject
from app.store.gates import gates
from app.store.plan.builds import Writer, set_swap
from tests.swaps import ENGINE_UP
from tests.web.conftest import Browser, Garage


def subject(garage: Garage, key: str) -> str:
    return gate_subject(garage.one("SELECT id FROM build"), key)


def seen(garage: Garage, key: str) -> list[str]:
    return [row[0] for row in garage.rows("SELECT id FROM journal WHERE subject = ?", subject(garage, key))]


def swap_engines(garage: Garage) -> None:
    """Say that one engine goes up and out and another one in."""
    build, rev = garage.rows("SELECT id, rev FROM build")[0]
    with garage.folder.database.unit_of_work() as session:
        assert set_swap(session, build, ENGINE_UP, rev=rev, writer=Writer("", ""), now="2031") is None


def tell(garage: Garage, key: str, verb: str, body: dict[str, Any], **form: Any) -> Any:
    sent = {"verb": verb, "body": json.dumps({"gate": key, **body}), "after": seen(garage, key), **form}
    return garage.owner.post(f"/b/1/gates/{key}", **sent)


def answer_all(garage: Garage, key: str) -> None:
    gate = next(each for each in gates() if each.key == key)
    for question in gate.questions:
        value: Any = "yes" if question.type == "tick" else {"measured": "20", "low": "18", "high": "24"}
        if isinstance(value, dict):
            value["unit"] = question.units[0]
        assert tell(garage, key, "answer", {"question": question.key, "value": value}).status_code == 302


def person(garage: Garage) -> str:
    return str(garage.one("SELECT id FROM person WHERE name = 'Olive'"))


def passing(garage: Garage, key: str, reason: str = "", browser: Browser | None = None) -> Any:
    """Pass a gate from a fresh copy of its page."""
    page = (browser or garage.owner).get(f"/b/1/gates/{key}").text
    named = re.findall(r'name="body.open" value="([^"]+)"', page)
    form = {"body.open": named, "body.reason": reason, "lists": "body.open", "person": person(garage)}
    return tell(garage, key, "pass", {}, **form)


def state(garage: Garage, key: str) -> str:
    found = re.search(r"gate-is-(\w+)", garage.owner.get(f"/b/1/gates/{key}").text)
    assert found
    return found[1]


def mark(garage: Garage, item: str, act: str, **fields: Any) -> None:
    assert garage.owner.send(garage.mark(item, act, **fields)).status_code == 200


def close_steps(garage: Garage) -> None:
    """Do every step of the way back."""
    for (step,) in garage.rows("SELECT id FROM step WHERE direction = 'on_only'"):
        assert garage.owner.post(f"/i/{step}/line", verb="mark", act="done").status_code == 302


def test_a_gate_lists_its_open_lines_by_zone_each_linked_to_its_card(garage: Garage) -> None:
    zone = garage.one("SELECT id FROM zone WHERE label LIKE 'Battery%'")
    item = garage.item("part", name="Battery", zone=zone)
    page = garage.owner.get("/b/1/gates/start").text
    heading, link = page.index("<h3>Battery"), page.index(f'href="/i/{item}"')
    assert heading < link < page.index("Steps on the way back")


def test_nothing_open_and_every_question_answered_is_ready_and_a_pass_by_name_makes_it_green(
    garage: Garage,
) -> None:
    part = garage.item("part", name="Battery")
    mark(garage, part, "placed")
    close_steps(garage)
    assert state(garage, "start") == "open"
    answer_all(garage, "start")
    assert state(garage, "start") == "ready"
    assert passing(garage, "start").status_code == 302
    assert state(garage, "start") == "green"
    assert "Passed with nothing open by <b>Olive</b>" in garage.owner.get("/b/1/gates/start").text

    mark(garage, part, "off")
    assert state(garage, "start") == "open"


def test_passing_with_open_lines_wants_a_reason_and_is_shown_for_ever(garage: Garage) -> None:
    part = garage.item("part", name="Battery")
    refused = passing(garage, "start")
    assert refused.status_code == 422
    assert "say why you go on" in refused.text
    assert passing(garage, "start", "only to hear it").status_code == 302
    assert state(garage, "start") == "open"
    mark(garage, part, "placed")
    page = html.unescape(garage.owner.get("/b/1/gates/start").text)
    day = r'<span class="day">\d{4}-\d\d-\d\d</span>'
    said = rf"Passed with 1\d open by <b>Olive</b>, {day}, because: only to hear it"
    assert re.search(said, page)
    open_ids = json.loads(garage.one("SELECT body FROM journal WHERE verb = 'pass'"))["open"]
    assert part in open_ids
    assert "neutral" in open_ids


def test_a_page_that_did_not_show_all_that_is_open_passes_nothing(garage: Garage) -> None:
    garage.item("part", name="Battery")
    answer = tell(garage, "start", "pass", {"open": [], "reason": "old page"}, person=person(garage))
    assert answer.status_code == 409
    assert "more are open than your page showed" in answer.text
    assert garage.rows("SELECT 1 FROM journal WHERE verb = 'pass'") == []


def test_a_pass_taken_back_is_a_line_and_the_gate_waits_again(garage: Garage) -> None:
    answer_all(garage, "mating")
    passing(garage, "mating")
    assert state(garage, "mating") == "green"
    line = garage.one("SELECT id FROM journal WHERE verb = 'pass'")
    assert tell(garage, "mating", "undo", {"line": line}).status_code == 302
    assert state(garage, "mating") == "ready"
    assert garage.one("SELECT count(*) FROM journal WHERE verb = 'pass'") == 1


def test_a_load_above_the_plate_is_refused_with_what_was_typed(garage: Garage) -> None:
    form = {"body.value.measured": "310", "body.value.high": "250", "body.value.unit": "kg"}
    answer = tell(garage, "lift", "answer", {"question": "weight"}, **form)
    assert answer.status_code == 422
    assert "310 kg is more than the plate’s 250 kg" in answer.text
    assert 'value="310"' in answer.text
    assert (
        tell(
            garage, "lift", "answer", {"question": "weight"}, **form | {"body.value.measured": "180"}
        ).status_code
        == 302
    )
    assert "180 kg of 250" in garage.owner.get("/b/1/gates/lift").text


def test_a_converter_not_home_is_kept_and_said_and_the_gate_stays_shut(garage: Garage) -> None:
    form = {
        "body.value.measured": "10",
        "body.value.low": "18",
        "body.value.high": "24",
        "body.value.unit": "mm",
    }
    assert tell(garage, "mating", "answer", {"question": "converter_depth"}, **form).status_code == 302
    assert "10 mm is less than 18 mm" in garage.owner.get("/b/1/gates/mating").text
    assert (
        tell(garage, "mating", "answer", {"question": "converter_depth", "value": "not_here"}).status_code
        == 302
    )
    assert "No converter here: Olive" in garage.owner.get("/b/1/gates/mating").text


def test_what_is_tied_back_is_named_at_the_lift_until_somebody_says_that_it_is_clear(garage: Garage) -> None:
    swap_engines(garage)
    pump = garage.item("part", name="Steering pump")
    mark(garage, pump, "aside")
    page = garage.owner.get("/b/1/gates/lift").text
    assert "Steering pump" in page
    assert "tied back: look whether it is clear" in page
    tips = json.loads(garage.one("SELECT state FROM item_state WHERE subject = ?", f"item:{pump}"))["tips"]
    tell(garage, "lift", "answer", {"question": f"clear:{pump}", "value": tips})
    assert "clear, says Olive" in garage.owner.get("/b/1/gates/lift").text
    assert "tied back: look whether it is clear" not in garage.owner.get("/b/1/gates/lift").text


def test_a_trial_start_lets_off_what_is_named_and_keeps_the_rest(garage: Garage) -> None:
    hood, hose = garage.item("part", name="Hood"), garage.item("part", name="Oil cooler")
    close_steps(garage)
    form = {"lists": "body.value", "body.value": [hood]}
    assert tell(garage, "trial", "answer", {"question": "stays_off"}, **form).status_code == 302
    page = garage.owner.get("/b/1/gates/trial").text
    lines = page[page.index('data-part="lines"') : page.index("<h2>What stays off")]
    assert hose in lines
    assert hood not in lines
    assert hood in garage.owner.get("/b/1/gates/start").text


def test_a_thing_replaced_by_nothing_keeps_the_start_shut_until_a_new_one_is_named(garage: Garage) -> None:
    old = garage.item("part", name="Alternator")
    for verb, said in (
        ("dispose", {"destiny": "replaced", "reason": "worn"}),
        ("fate", {"fate": "scrapped"}),
    ):
        mark(garage, old, "off", verb=verb, body=said)
    page = garage.owner.get("/b/1/gates/start").text
    assert "#1 Alternator" in page
    assert "which one is the new one?" in page

    garage.owner.post(f"/i/{old}/replace", name="Other alternator")
    page = garage.owner.get("/b/1/gates/start").text
    assert "#1 Alternator" not in page
    assert "#2 Other alternator" in page


def start(garage: Garage, on: str, km: str = "") -> None:
    body = json.dumps({"on": on} | ({"km": km} if km else {}))
    assert garage.owner.post("/b/1/engine", verb="first_start", body=body).status_code == 302


def test_the_start_is_told_where_the_engine_is_and_asks_for_rechecks(garage: Garage) -> None:
    assert "No start is written down yet" in garage.owner.get("/b/1/rechecks").text
    passing(garage, "start", "a trial of the page")
    assert 'href="/b/1/engine">The key is turned: mark it' in garage.owner.get("/b/1/gates/start").text
    start(garage, "2031-05-04", "120000")
    assert "Started on 2031-05-04 at 120000 km" in garage.owner.get("/b/1/gates/start").text
    page = garage.owner.get("/b/1/rechecks").text
    assert "Late: was due on" not in page
    assert "at 120050 km" in page
    assert "To look at again after the start" in garage.owner.get("/b/1/status").text
    line = garage.one("SELECT id FROM journal WHERE verb = 'first_start'")
    body = json.dumps({"gate": "start", "question": f"{line}/hot_leaks", "value": "yes"})
    garage.owner.post("/b/1/rechecks", verb="answer", body=body, after=seen(garage, "start"))
    assert re.search(
        r"Looked at</h2>.*fuel leaks.*<b>Olive</b>", garage.owner.get("/b/1/rechecks").text, re.DOTALL
    )


def test_a_start_that_an_older_page_wrote_on_the_gate_still_counts(garage: Garage) -> None:
    tell(garage, "start", "start", {"on": "2031-05-04"})
    assert "at 120050 km" not in garage.owner.get("/b/1/rechecks").text
    assert "fuel leaks" in garage.owner.get("/b/1/rechecks").text


def test_a_start_long_ago_names_what_is_late_and_keeps_it(garage: Garage) -> None:
    start(garage, "2020-01-01")
    assert "Late: was due on 2020-01-02" in garage.owner.get("/b/1/rechecks").text
    answer = garage.owner.post(
        "/b/1/rechecks", verb="recheck", body="{}", **{"body.text": "The left hose", "body.due": "2020-02-02"}
    )
    assert answer.status_code == 302
    page = garage.owner.get("/b/1/rechecks").text
    assert "it is kept, and stands as late" in page
    assert "Late: was due on 2020-02-02" in page


def test_what_was_typed_for_a_recheck_stays_when_it_is_refused(garage: Garage) -> None:
    answer = garage.owner.post(
        "/b/1/rechecks", verb="recheck", body="{}", **{"body.text": "", "body.due": "2031-01-01"}
    )
    assert answer.status_code == 422
    assert 'value="2031-01-01"' in answer.text


def test_begun_anew_everything_is_asked_again_and_the_pass_stays_in_sight(garage: Garage) -> None:
    answer_all(garage, "mating")
    passing(garage, "mating")
    tell(garage, "mating", "answer", {"anew": True})
    assert state(garage, "mating") == "open"
    assert "before it was begun anew" in garage.owner.get("/b/1/gates/mating").text


def test_the_next_gate_stands_with_its_count_on_the_bay_the_status_and_the_list(garage: Garage) -> None:
    garage.item("part", name="Battery")
    for page in ("/b/1/bay", "/b/1/status", "/b/1/take-off", "/b/1/put-back"):
        assert '<a class="ahead-in" href="/b/1/gates/start">' in garage.owner.get(page).text, page
    swap_engines(garage)
    for page in ("/b/1/bay", "/b/1/status", "/b/1/take-off", "/b/1/put-back"):
        assert '<a class="ahead-in" href="/b/1/gates/hook_up">' in garage.owner.get(page).text, page


def test_the_gate_names_what_must_have_been_and_is_not_green_without_it(garage: Garage) -> None:
    swap_engines(garage)
    page = garage.owner.get("/b/1/gates/start").text
    for text in ("the engine is in", "engine and gearbox are together", "the mounts carry the engine"):
        assert f"First: {text}." in page


def test_an_answer_lapses_when_what_it_speaks_of_is_marked_again(garage: Garage) -> None:
    line = garage.item("connection", name="Fuel feed line", type="fuel line")
    body = json.dumps(
        {"gate": "start", "question": "fuel_tight", "value": "yes", "seen": _tips(garage, line)}
    )
    garage.owner.post("/b/1/gates/start", verb="answer", body=body, after=seen(garage, "start"))
    assert "has changed since" not in garage.owner.get("/b/1/gates/start").text
    mark(garage, line, "seated")
    assert (
        "Something that this answer speaks of has changed since" in garage.owner.get("/b/1/gates/start").text
    )


def _tips(garage: Garage, item: str) -> list[str]:
    state = garage.one("SELECT state FROM item_state WHERE subject = ?", f"item:{item}")
    return list(json.loads(state)["tips"])


def test_what_the_ledger_knows_is_answered_by_it_and_by_nobody_else(garage: Garage) -> None:
    rag = garage.item("temporary", name="Rag in the inlet")
    body = json.dumps({"gate": "start", "question": "temporaries", "value": "yes"})
    garage.owner.post("/b/1/gates/start", verb="answer", body=body)
    page = garage.owner.get("/b/1/gates/start").text
    assert "Caps, rags and props: open in the ledger" in page
    assert 'data-part="q-temporaries"' not in page
    mark(garage, rag, "out")
    assert "Caps, rags and props: closed in the ledger" in garage.owner.get("/b/1/gates/start").text


def test_a_critical_thing_left_out_needs_the_owner_a_reason_and_a_second_person(garage: Garage) -> None:
    strap = garage.item("connection", name="Brake servo hose", type="vacuum line", critical="y")
    mark(garage, strap, "off", verb="dispose", body={"destiny": "left_out", "reason": "no longer fitted"})
    page = garage.owner.get("/b/1/gates/start").text
    assert "Brake servo hose is left out" in html.unescape(page)
    assert "still needs the owner" in page

    for browser, reason in ((garage.owner, "the new engine has none"), (garage.helper, "")):
        body = json.dumps({"seen": _tips(garage, strap), "reason": reason})
        answer = browser.post(f"/b/1/gates/start/accept/{strap}", verb="accept", body=body)
        assert answer.status_code == 302
    page = garage.owner.get("/b/1/gates/start").text
    part = page[page.index('data-part="departing"') :]
    assert "accepted" in part
    assert "still needs" not in part


def test_an_unknown_gate_is_nowhere(garage: Garage) -> None:
    assert garage.owner.get("/b/1/gates/nowhere").status_code == 404


def test_a_helper_passes_and_an_onlooker_sees_no_button(garage: Garage) -> None:
    assert "<button" not in garage.onlooker.get("/b/1/gates/start").text
    body = json.dumps({"gate": "mating", "question": "dowels", "value": "yes"})
    assert garage.helper.post("/b/1/gates/mating", verb="answer", body=body).status_code == 302


def test_what_does_not_add_up_stands_on_the_start_gate_and_in_the_ledger(garage: Garage) -> None:
    garage.item("fastener", name="Cover bolts", n="4", torque="9 N·m", thread="M6x1x20")
    for page in ("/b/1/gates/start", "/b/1/ledger"):
        text = garage.owner.get(page).text
        assert "<b>4</b> pieces out = <b>0</b> fitted" in text, page
        assert "4 of 4 still out: no. 1, 2, 3, 4" in text, page


def test_no_json_and_no_mapping_is_an_empty_body_that_is_refused(garage: Garage) -> None:
    for body in ("[1]", "{", '{"question": "walk_round", "value": NaN}'):
        answer = garage.owner.post("/b/1/gates/lift", verb="answer", body=body)
        assert answer.status_code == 422, body


def test_a_gate_passed_with_nothing_open_says_what_opened_since(garage: Garage) -> None:
    part = garage.item("part", name="Battery")
    mark(garage, part, "placed")
    close_steps(garage)
    answer_all(garage, "start")
    assert passing(garage, "start").status_code == 302
    mark(garage, part, "off")
    assert "1 line open again since it was passed" in garage.owner.get("/b/1/gates").text
    assert "1 open since it was passed" in garage.owner.get("/b/1/gates/start").text


def test_the_way_to_passing_stands_at_the_foot_once_nothing_is_open(garage: Garage) -> None:
    foot = 'href="#pass">Go on to pass it'
    mark(garage, garage.item("part", name="Battery"), "placed")
    close_steps(garage)
    assert foot not in garage.owner.get("/b/1/gates/start").text
    answer_all(garage, "start")
    assert foot in garage.owner.get("/b/1/gates/start").text
    assert foot not in garage.onlooker.get("/b/1/gates/start").text
    passing(garage, "start")
    assert "The key is turned: mark it" in garage.owner.get("/b/1/gates/start").text


def test_the_first_start_says_beside_its_button_that_its_gate_is_shut(garage: Garage) -> None:
    garage.item("part", name="Air box")
    first = garage.one("SELECT id FROM step WHERE cautions LIKE '%first_start%'")
    for page in (f"/i/{first}", "/b/1/put-back"):
        text = garage.owner.get(page).text
        assert "keep the gate shut" in text, page
        assert 'href="/b/1/gates/start"' in text
    assert "keep the gate shut" not in garage.owner.get(f"/i/{garage.item()}").text


def test_the_start_names_torques_that_nobody_has_checked_against_the_manual(garage: Garage) -> None:
    group = garage.item("fastener", name="Rod bolts", n="2", torque="min. 25 N·m")
    plain = garage.item("fastener", name="Lid bolts", n="2", torque="9 N·m")
    page = garage.owner.get("/b/1/gates/start").text
    part = page[page.index('data-part="unread"') :]
    part = part[: part.index("</div>")]
    assert group in part
    assert plain not in part
    assert f"reading {group}" in re.findall(r'name="body.open" value="([^"]+)"', page)
    assert 'data-part="unread"' not in garage.owner.get("/b/1/gates/mating").text
