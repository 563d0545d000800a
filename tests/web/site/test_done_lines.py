from app.core.builds.snapshot import Snapshot
from app.core.items.journal import Line
from app.web.site.context import reading, snapshot
from app.web.site.done_lines import done_lines
from tests.web.conftest import Garage


def build_of(garage: Garage) -> Snapshot:
    with garage.app.test_request_context(), reading() as session:
        return snapshot(session, 1)


def line(subject: str, verb: str, person: str = "p", **body: str) -> Line:
    return Line("l", subject, verb, body, person=person, at="2031-05-04T09:30:00Z")


def test_a_row_says_who_did_what_with_which_item_and_when(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    build = build_of(garage)

    (row,) = done_lines([line(f"item:{item}", "mark", act="placed")], build, {"p": "Olive"})

    assert row.entry is build.entries[item]
    assert (row.who, row.text, row.at) == ("Olive", "in position", "2031-05-04T09:30:00Z")


def test_somebody_did_what_a_line_of_an_unknown_person_says(garage: Garage) -> None:
    (row,) = done_lines([line("item:gone", "mark", "erased", act="placed")], build_of(garage), {"p": "Olive"})

    assert row.who == "somebody"
    assert row.entry is None


def test_what_is_no_act_or_is_about_nothing_here_is_said_by_its_verb(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    about = [line(f"item:{item}", "undo", line="x"), line("item:gone", "mark", act="placed")]

    undone, gone = done_lines(about, build_of(garage), {})

    assert undone.text
    assert gone.text
    assert gone.text != "in position"
