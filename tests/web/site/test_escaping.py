"""Whatever is typed anywhere is shown as text."""

from html.parser import HTMLParser
from typing import Any

from tests.web.conftest import START_KEY, Browser, Garage

EVIL = "\"><img src=x onerror=1>'"


class _Pictures(HTMLParser):
    """Collects what would run or load from typed text: odd pictures, event handlers, links to scripts."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            address = (value or "").strip().lower()
            if name.startswith("on") or name == "style" or (name == "src" and value == "x"):
                self.found.append(f"{tag} {name}={value}")
            if name in {"href", "src", "action"} and address.startswith(("javascript:", "data:")):
                self.found.append(f"{tag} {name}={value}")
        if tag == "script" and "src" not in dict(attrs):
            self.found.append("script without a file")


def assert_tame(page: str, address: str) -> None:
    parser = _Pictures()
    parser.feed(page)
    assert parser.found == [], address


def test_markup_typed_into_every_field_is_shown_as_text_on_every_page(garage: Garage) -> None:
    owner = Browser(garage.app, garage.folder)
    owner.post(f"/start/{START_KEY}", name=EVIL)
    owner.post("/b/1/settings", rev="1", title=EVIL, vehicle=EVIL, units="N·m", dialect="us")
    evil = {"name_back": EVIL, "instruction": EVIL, "instruction_back": EVIL, "role": "lift"}
    owner.post("/b/1/steps", name=EVIL, height="stands", people="1", minutes="5", direction="both", **evil)
    owner.post("/b/1/steps", name=EVIL, height="stands", people="1", minutes="5", direction="on_only")
    owner.post("/b/1/zones", label=EVIL, level="above")
    owner.post("/b/1/places", name=EVIL)
    assert garage.one("SELECT title FROM build") == EVIL
    zone = garage.one("SELECT id FROM zone WHERE label = ?", EVIL)
    step = garage.one("SELECT id FROM step WHERE name = ?", EVIL)
    shared = {"name": EVIL, "note": EVIL, "zone": zone, "step": step, "place": EVIL, "critical": "y"}
    items: dict[str, dict[str, Any]] = {
        "connection": {
            "type": EVIL,
            "lock": EVIL,
            "end_label": [EVIL, EVIL],
            "end_owner": ["vehicle", "part"],
        },
        "fastener": dict.fromkeys(
            ("strength", "head", "washers", "threadlock", "torque_source", "look_alike"), EVIL[:20]
        ),
        "part": {"condition": EVIL},
        "locator": {"type": EVIL},
        "temporary": {"type": EVIL},
        "fluid": {"system": EVIL, "spec": EVIL},
        "finding": {"what": EVIL, "decision": EVIL},
    }
    made = {kind: garage.item(kind, **shared, **words) for kind, words in items.items()}
    for item in (made["part"], made["connection"]):
        owner.post(f"/i/{item}/line", verb="dispose", destiny="left_out", reason=EVIL, line_id="x")
        owner.post(f"/i/{item}/line", verb="dispose", destiny="left_out", reason=EVIL)
    garage.owner.send(
        garage.mark(made["fastener"], "tight", body={"act": "tight", "reached": EVIL, "reason": EVIL})
    )
    owner.post(f"/i/{made['fastener']}/replace", name=EVIL)
    words = {"what": EVIL, "at_whom": EVIL, "count": "2"}
    for category, need in (("away", "clean"), ("get", ""), ("soak", ""), ("core", ""), ("sale", "")):
        owner.post(f"/i/{made['connection']}/outstanding", category=category, need=need, **words)
    owner.post("/b/1/to-get", **words)
    owner.post("/b/1/engines", name=EVIL, kind="part", zone=zone, step=step, buy="y")
    owner.post(f"/i/{made['fluid']}/finding", what=EVIL, blocks="1")
    assert garage.one("SELECT count(*) FROM outstanding WHERE what = ?", EVIL) == 6
    garage.owner.send(garage.capture(code=garage.blank()), garage.photo())

    pages = [
        address
        for _, address in garage.routes("GET")
        if not address.endswith((".jpg", ".pdf", ".css", ".csv"))
    ]
    pages += [f"/i/{item}{tail}" for item in made.values() for tail in ("", "/describe", "/form")]
    pages += [f"/b/1/away/sheet?whom={EVIL}", f"/b/1/away?number={EVIL}"]
    pages += [
        f"/i/{made['part']}/outstanding?category={EVIL}&back={EVIL}&need={EVIL}",
        f"/i/{made['part']}/finding",
    ]
    pages += ["/b/1/ledger?by=step&all", "/b/1/put-back?all", "/b/1/status?fragment=1"]
    pages += [
        f"/b/1/find?q={EVIL}",
        f"/T/{EVIL}",
        f"/i/{made['part']}?half={EVIL}",
        f"/b/1/ledger?zone={zone}",
    ]
    pages += [f"/b/1/take-off?kind={EVIL}", f"/start/{EVIL}", f"/pair/{EVIL}"]
    seen = 0
    for address in pages:
        answer = owner.get(address)
        assert answer.status_code < 500, address
        assert_tame(answer.text, address)
        seen += "onerror=1&gt;" in answer.text
    assert seen > 25


def test_markup_in_a_refused_form_comes_back_as_text(garage: Garage) -> None:
    item = garage.item("fastener")
    refused = [
        garage.describe(item, name=EVIL, thread=EVIL, torque=EVIL, note=EVIL, holds=EVIL, n=EVIL),
        garage.describe(item, name=EVIL, end_label=[EVIL], end_owner=[EVIL], what="kind", kind="connection"),
        garage.owner.post(f"/i/{item}/line", verb="mark", act="tight", reached=EVIL),
        garage.owner.post(f"/i/{item}/line", verb="dispose", destiny=EVIL, reason=EVIL),
        garage.owner.post("/b/1/take-off", code=EVIL, kind=EVIL, step=EVIL, zone=EVIL, person=EVIL, act=EVIL),
        garage.owner.post("/b/1/print", grid=EVIL, halves=EVIL, sheets=EVIL),
        garage.owner.post("/b/1/steps", name="", minutes=EVIL, people=EVIL, height=EVIL, direction=EVIL),
        garage.owner.post("/builds/new", title="", vehicle=EVIL, layout=EVIL, units=EVIL, dialect=EVIL),
        garage.owner.post("/b/1/crew/pair", role=EVIL),
        garage.owner.post(f"/T/{garage.blank()}/give", to=EVIL),
        garage.owner.post(
            f"/i/{item}/outstanding", category=EVIL, need=EVIL, what=EVIL, price=EVIL, due=EVIL, back=EVIL
        ),
        garage.owner.post("/b/1/to-get", what=EVIL * 20, count=EVIL, number=EVIL, price=EVIL),
        garage.owner.post("/b/1/engines", name=EVIL, kind=EVIL, count=EVIL, zone=EVIL),
        garage.owner.post(f"/i/{item}/answer", destiny=EVIL, reason=EVIL, others=EVIL, back=EVIL),
        garage.owner.post(f"/i/{item}/answer", destiny="replaced", reason=EVIL, others=EVIL),
    ]
    for answer in refused:
        assert answer.status_code < 500
        assert_tame(answer.text, answer.request.path)
