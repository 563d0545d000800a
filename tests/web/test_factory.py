import logging

import pytest

from tests.web.conftest import Garage

UNKNOWN = "0" * 32


@pytest.mark.parametrize(
    "address",
    [
        f"/i/{UNKNOWN}",
        f"/i/{UNKNOWN}/form",
        f"/i/{UNKNOWN}/describe",
        f"/places/{UNKNOWN}",
        f"/p/{UNKNOWN}.jpg",
        f"/steps/{UNKNOWN}",
        "/b/7/bay",
        "/b/7/status",
        "/b/7/put-back",
        "/b/7/crew",
        "/sheets/77.pdf",
        "/b/99999999999999999999/bay",
        "/sheets/99999999999999999999.pdf",
        "/static/../app/web/site/context.py",
        "/static/%2e%2e/pyproject.toml",
        "/static/",
        "/nothing/here",
    ],
)
def test_what_is_not_there_is_a_404_with_a_way_out(garage: Garage, address: str) -> None:
    answer = garage.owner.get(address)
    assert answer.status_code == 404
    assert "To the start" in answer.text


@pytest.mark.parametrize(
    "address",
    [
        f"/i/{UNKNOWN}/line",
        f"/i/{UNKNOWN}/replace",
        f"/i/{UNKNOWN}/describe",
        f"/places/{UNKNOWN}/move",
        f"/p/{UNKNOWN}/give",
        f"/steps/{UNKNOWN}",
        "/b/7/take-off",
        "/b/7/places",
        "/b/7/print",
        "/b/7/zones",
        "/b/7/crew/pair",
    ],
)
def test_a_form_about_what_is_not_there_is_a_404(garage: Garage, address: str) -> None:
    before = garage.everything()
    form = {"label": "x", "name": "x", "grid": "a4-40", "halves": "single", "sheets": "1"}
    assert garage.owner.post(address, **form).status_code == 404
    assert garage.everything() == before


def test_an_address_used_in_the_wrong_way_is_a_405(garage: Garage) -> None:
    for address, method in (("/lines", "GET"), ("/b/1/bay", "POST"), ("/b/1/places", "PUT"), ("/", "TRACE")):
        token = {"X-CSRFToken": garage.owner.token}
        assert garage.owner.client.open(address, method=method, headers=token).status_code == 405


def test_a_fault_of_ours_says_so_without_a_trace(
    garage: Garage, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def fail(**_: object) -> str:
        raise RuntimeError("the inner secret")

    monkeypatch.setitem(garage.app.view_functions, "bay.show", fail)
    with caplog.at_level(logging.ERROR):
        answer = garage.owner.get("/b/1/bay")
    assert answer.status_code == 500
    assert "This page failed" in answer.text
    for leaked in ("inner secret", "Traceback", "RuntimeError", ".py"):
        assert leaked not in answer.text
    assert "the inner secret" in caplog.text
