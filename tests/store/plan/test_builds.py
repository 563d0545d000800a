import pytest

from app.core.problem import STALE
from app.store.plan import builds
from app.store.plan.builds import LAYOUTS
from tests.store.garage import NOW, Garage


@pytest.mark.parametrize("key", LAYOUTS)
def test_a_layout_brings_zones_and_steps(garage: Garage, key: str) -> None:
    plan = builds.layout(key)
    with garage.database.unit_of_work() as session:
        made = builds.new_build(
            session,
            title="b",
            vehicle="",
            layout_key=key,
            units="",
            dialect="us",
            writer=garage.writer,
            now=NOW,
        )
        assert made.nr == 2

    assert garage.ask("SELECT count(*) FROM zone WHERE build_id != (SELECT id FROM build WHERE nr = 1)") == [
        (len(plan["zones"]),)
    ]
    assert len(plan["steps"]) > 5
    with pytest.raises(ValueError, match="no layout"):
        builds.layout("../secret")


def test_an_edit_of_a_build_from_an_old_page_writes_nothing(garage: Garage) -> None:
    with garage.database.unit_of_work() as session:
        first = builds.edit_build(
            session, garage.build, {"title": "one"}, rev=1, writer=garage.writer, now=NOW
        )
    rows = garage.rows()
    with garage.database.unit_of_work() as session:
        second = builds.edit_build(
            session, garage.build, {"title": "two"}, rev=1, writer=garage.writer, now=NOW
        )

    assert (first, second) == (None, STALE)
    assert (garage.now().title, garage.rows()) == ("one", rows)
