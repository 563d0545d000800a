from tests.web.conftest import Garage


def test_the_ledger_groups_open_lines_by_zone_and_by_step(garage: Garage) -> None:
    (zone, label), (step, name) = (
        garage.rows("SELECT id, label FROM zone")[0],
        garage.rows("SELECT id, name_back FROM step WHERE direction = 'both'")[0],
    )
    garage.item("part", name="Pump", zone=zone, step=step)
    garage.item("part", name="Cover")
    by_zone, by_step = (garage.owner.get(f"/b/1/ledger?by={by}").text for by in ("zone", "step"))
    assert label in by_zone
    assert "No zone yet" in by_zone
    assert name in by_step
    assert "No step yet" in by_step
    assert "Cover" not in garage.owner.get(f"/b/1/ledger?zone={zone}").text


def test_what_is_closed_leaves_the_ledger_and_stands_among_all_lines(garage: Garage) -> None:
    on, off = garage.item("part", name="Pump"), garage.item("part", name="Cover")
    assert garage.owner.send(garage.mark(on, "placed")).status_code == 200

    open_lines = garage.owner.get("/b/1/ledger").text

    assert f"/i/{off}" in open_lines
    assert f"/i/{on}" not in open_lines
    assert f"/i/{on}" in garage.owner.get("/b/1/ledger?all=1").text


def test_a_cap_of_which_nobody_said_what_it_closes_is_asked_about(garage: Garage) -> None:
    garage.item("part", name="Pipe")
    cap = garage.item("temporary", name="Cap")
    asked = "Which opening does it close?"
    page = garage.owner.get("/b/1/ledger").text
    assert f'<a href="/i/{cap}/describe#closes">' in page.partition(asked)[2]
    assert garage.describe(cap, name="Cap", closes="#1").status_code == 302
    assert asked not in garage.owner.get("/b/1/ledger").text
    assert garage.describe(cap, name="Cap", closes="").status_code == 302
    assert asked in garage.owner.get("/b/1/ledger").text
    assert garage.owner.send(garage.mark(cap, "out")).status_code == 200
    assert asked not in garage.owner.get("/b/1/ledger").text
