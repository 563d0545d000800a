"""The desk: the way to another project, from any page."""

from tests.web.conftest import Garage


def test_another_project_is_one_tap_from_the_desk(garage: Garage) -> None:
    page = garage.owner.get("/b/1/desk").text
    assert "Blue van" in page
    assert 'href="/b/2/bay"' not in page

    form = {
        "title": "Red pickup",
        "vehicle": "a pickup",
        "layout": "transverse",
        "units": "N·m",
        "dialect": "us",
    }
    garage.owner.post("/builds/new", **form, out="none")
    assert 'href="/b/2/bay">Red pickup' in garage.owner.get("/b/1/desk").text
    assert 'href="/b/1/bay">Blue van' in garage.helper.get("/b/2/desk").text
