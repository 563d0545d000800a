import pytest
from werkzeug.exceptions import NotFound

from app.web.site import context
from app.web.site.context import app_state, entry_of, reading, snapshot, way_back
from tests.web.conftest import Garage


def test_the_address_of_all_pages_is_the_name_and_the_port(garage: Garage) -> None:
    with garage.app.test_request_context():
        assert app_state().origin == f"http://{garage.folder.name}.local:8765"


def test_an_item_and_a_step_of_the_way_back_are_found_with_their_build(garage: Garage) -> None:
    item = garage.item("part", name="Pump")
    step = garage.one("SELECT id FROM step WHERE direction = 'on_only'")
    with garage.app.test_request_context(), reading() as session:
        build, entry = entry_of(session, item)
        assert (build.nr, entry.item.name) == (1, "Pump")
        assert entry_of(session, step)[1].item.id == step


def test_what_is_not_there_is_a_404(garage: Garage) -> None:
    both_ways = garage.one("SELECT id FROM step WHERE direction = 'both'")
    with garage.app.test_request_context(), reading() as session:
        for missing in ("0" * 32, both_ways):
            with pytest.raises(NotFound):
                entry_of(session, missing)
        with pytest.raises(NotFound):
            snapshot(session, 7)


@pytest.mark.parametrize(
    ("back", "goes"),
    [
        ("/b/1/bay?level=below#x", "/b/1/bay?level=below#x"),
        ("", "/else"),
        ("//evil.example", "/else"),
        ("/\\evil.example", "/else"),
        ("http://evil.example/", "/else"),
        ("/b/1\r\nX: y", "/else"),
    ],
)
def test_a_form_goes_back_to_a_page_of_ours_only(garage: Garage, back: str, goes: str) -> None:
    with garage.app.test_request_context(method="POST", data={"back": back}):
        assert way_back("/else") == goes


def test_marks_on_views_are_what_the_access_check_reads() -> None:
    def view() -> None:
        """Stand for a view."""

    for mark, name in (
        (context.public, "is_public"),
        (context.owner_only, "is_owner_only"),
        (context.checks_role_itself, "checks_role_itself"),
    ):
        assert not hasattr(view, name)
        assert mark(view) is view
        assert getattr(view, name) is True
