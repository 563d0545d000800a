import pytest

from app.web.site.moved import EARLIER
from tests.web.conftest import Garage


@pytest.mark.parametrize(
    ("earlier", "present"),
    [
        ("/waiting", "/outbox"),
        ("/b/1/stores", "/b/1/places"),
        ("/i/{item}/differently", "/i/{item}/exceptions"),
        ("/i/{item}/wait?sort=away", "/i/{item}/outstanding?sort=away"),
    ],
)
def test_a_bookmark_of_an_earlier_release_leads_to_the_page(
    garage: Garage, earlier: str, present: str
) -> None:
    item = garage.item("part", name="Pump")
    answer = garage.owner.get(earlier.format(item=item))
    assert answer.headers["Location"] == present.format(item=item)
    assert garage.owner.get(present.format(item=item)).status_code == 200


def test_a_form_of_a_page_left_open_is_sent_on_with_what_was_typed(garage: Garage) -> None:
    answer = garage.owner.post("/l/" + "0" * 32 + "/move", place="0" * 32)
    assert (answer.status_code, answer.headers["Location"]) == (308, "/places/" + "0" * 32 + "/move")


def test_every_earlier_address_leads_to_one_that_is_there(garage: Garage) -> None:
    at = garage.app.url_map.bind("localhost")
    for there in EARLIER.values():
        address = there.format(
            nr=1, **dict.fromkeys(("place_id", "item_id", "outstanding_id", "entry_id"), "x")
        )
        assert at.test(address, "GET") or at.test(address, "POST"), address
