from typing import Any

import pytest

from tests.web.conftest import Garage

ENDS: dict[str, Any] = {
    "end_label": ["on the rail", "on the filter", "to the gauge", ""],
    "end_owner": ["vehicle", "part", "old engine", ""],
}


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("thread", "blue"),
        ("torque", "tight"),
        ("torque", "20 N·m then 30"),
        ("n", "0"),
        ("n", "1000"),
        ("n", "-3"),
        ("n", "four"),
        ("n", "9" * 5000),
        ("holds", "#77"),
        ("covers", "all"),
        ("name", "x" * 121),
        ("note", "x" * 2001),
        ("kind", "spaceship"),
        ("zone", "0" * 32),
        ("step", "0" * 32),
        ("owner", "nobody"),
        ("one_time", "perhaps"),
    ],
)
def test_a_field_out_of_range_is_refused_and_the_rest_kept(garage: Garage, field: str, value: str) -> None:
    item = garage.item("fastener")
    before = garage.everything()
    answer = garage.describe(item, **{"note": "keep this", "threadlock": "copper paste", field: value})

    assert answer.status_code == 422
    assert 'class="problems" role="alert"' in answer.text
    assert "copper paste" in answer.text
    assert field == "note" or "keep this" in answer.text
    assert garage.everything() == before


@pytest.mark.parametrize(("kind", "field"), [("part", "weight_kg"), ("fluid", "capacity_l")])
@pytest.mark.parametrize("value", ["-1", "2001", "NaN", "Infinity", "1e400", "much"])
def test_a_weight_or_an_amount_out_of_range_is_refused(
    garage: Garage, kind: str, field: str, value: str
) -> None:
    item = garage.item(kind)
    before = garage.everything()
    assert garage.describe(item, **{field: value}).status_code == 422
    assert garage.everything() == before


def test_a_connection_with_three_ends_keeps_them_through_every_refusal(garage: Garage) -> None:
    item = garage.item(name="Fuel line", type="fuel line", **ENDS)
    stored = [("on the rail", "vehicle"), ("on the filter", "part"), ("to the gauge", "old engine")]
    assert [(end["label"], end["owner"]) for end in garage.detail(item)["ends"]] == stored

    for change in ({"holds": "#77"}, {"what": "kind"}, {"rev": "1"}):
        page = garage.describe(
            item, **{**ENDS, "end_label": ["on the rail", "new words", "to the gauge", ""], **change}
        )
        assert page.status_code in {200, 409, 422}
        for words in ("on the rail", "new words", "to the gauge"):
            assert f'value="{words}"' in page.text
    assert [end["label"] for end in garage.detail(item)["ends"]][1] == "on the filter"


def test_a_changed_kind_shows_its_own_fields_with_what_was_typed_and_is_kept_with_them(
    garage: Garage,
) -> None:
    item = garage.item(name="Hose clip bolt")
    page = garage.describe(item, kind="fastener", what="kind", name="Clip bolt", note="short").text
    assert 'name="thread"' in page
    assert 'value="Clip bolt"' in page
    assert "short" in page
    assert garage.one("SELECT kind FROM item") == "connection"

    assert garage.describe(item, kind="fastener", name="Clip bolt", n="2", torque="9 N·m").status_code == 302
    assert garage.rows("SELECT kind, n FROM item") == [("fastener", 2)]
    assert len(garage.state(item)["positions"]) == 2
