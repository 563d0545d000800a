"""Builds, steps and zones: the plan, which the owner alone edits."""

import pytest

from app.store.plan.builds import LAYOUTS
from tests.web.conftest import Garage

NEW = {
    "title": "Red wagon",
    "vehicle": "a wagon",
    "layout": "longitudinal_v",
    "units": "lb·ft",
    "dialect": "uk",
}


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_build_comes_with_the_zones_and_starter_steps_of_its_layout(garage: Garage, layout: str) -> None:
    answer = garage.owner.post("/builds/new", **{**NEW, "layout": layout})
    assert answer.headers["Location"] == "/b/2/bay"
    build = garage.one("SELECT id FROM build WHERE nr = 2")
    levels = garage.rows("SELECT DISTINCT level FROM zone WHERE build_id = ? ORDER BY level", build)
    assert levels == [("above",), ("below",)]
    assert garage.one("SELECT count(*) FROM step WHERE build_id = ?", build) >= 8
    for page in ("bay", "bay?level=below", "take-off", "steps", "put-back", "status"):
        assert garage.owner.get(f"/b/2/{page}").status_code == 200, page


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("title", ""),
        ("title", "  "),
        ("title", "x" * 81),
        ("vehicle", "x" * 201),
        ("layout", ""),
        ("layout", "boat"),
        ("units", "stone"),
        ("dialect", "fr"),
    ],
)
def test_a_build_out_of_range_is_not_made_and_what_was_typed_stays(
    garage: Garage, field: str, value: str
) -> None:
    before = garage.everything()
    answer = garage.owner.post("/builds/new", **{**NEW, field: value})
    assert answer.status_code == 422
    assert field == "title" or 'value="Red wagon"' in answer.text
    assert field == "vehicle" or 'value="a wagon"' in answer.text
    assert 'class="wrong"' in answer.text
    assert garage.everything() == before


def test_settings_written_over_a_newer_version_are_refused_and_kept(garage: Garage) -> None:
    form = {"vehicle": "", "units": "N·m", "dialect": "us"}
    assert garage.owner.post("/b/1/settings", title="Theirs", rev="1", **form).status_code == 302
    answer = garage.owner.post("/b/1/settings", title="Mine", rev="1", **form)
    assert answer.status_code == 409
    assert 'value="Mine"' in answer.text
    assert garage.one("SELECT title FROM build") == "Theirs"
    assert garage.owner.post("/b/1/settings", title="Mine", rev="2", **form).status_code == 302


def test_the_words_switch_changes_what_is_shown_and_never_what_is_stored(garage: Garage) -> None:
    item = garage.item(name="Ground strap", type="ground strap")
    stored = garage.detail(item)
    assert "Ground strap" in garage.owner.get(f"/i/{item}").text
    garage.owner.post("/b/1/settings", rev="1", title="Blue van", vehicle="", units="N·m", dialect="uk")
    assert "Earth strap" in garage.owner.get(f"/i/{item}").text
    assert garage.detail(item) == stored
    assert 'value="Ground strap"' in garage.owner.get(f"/i/{item}/describe").text
