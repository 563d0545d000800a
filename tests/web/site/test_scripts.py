import pytest

from app.web.site.scripts import EARLIER_NAMES
from tests.web.conftest import Garage


@pytest.mark.parametrize("name", EARLIER_NAMES)
def test_a_page_of_an_earlier_release_still_gets_its_scripts(garage: Garage, name: str) -> None:
    answer = garage.owner.get(f"/static/js/{name}.js")
    assert answer.status_code == 302
    script = garage.owner.get(answer.headers["Location"])
    assert script.status_code == 200
    assert "javascript" in script.headers["Content-Type"]


def test_a_script_that_never_was_is_nowhere(garage: Garage) -> None:
    assert garage.owner.get("/static/js/unheard-of.js").status_code == 404
