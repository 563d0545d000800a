"""What stands on every answer, and how faults are answered."""

import logging
from urllib.parse import urlencode

import pytest

from tests.web.conftest import Garage

UNKNOWN = "0" * 32
FORM = "application/x-www-form-urlencoded"


def test_every_answer_carries_the_headers_that_keep_other_content_out(busy: Garage) -> None:
    addresses = [*busy.routes("GET"), ("unknown", "/nothing/here")]
    for browser in (busy.owner, busy.stranger):
        for endpoint, address in addresses:
            headers = browser.get(address).headers
            policy = headers["Content-Security-Policy"]
            assert "default-src 'none'" in policy, address
            assert "unsafe" not in policy, address
            if endpoint != "photos.show":
                for part in (
                    "script-src 'self';",
                    "frame-ancestors 'none'",
                    "base-uri 'none'",
                    "object-src 'none'",
                ):
                    assert part in policy, address
            assert headers["X-Content-Type-Options"] == "nosniff", address
            assert headers["Referrer-Policy"] == "same-origin", address
            assert headers["X-Frame-Options"] == "DENY", address
            assert "Strict-Transport-Security" not in headers
            if endpoint != "login.here":
                assert "Access-Control-Allow-Origin" not in headers, address
            if endpoint not in {"static", "photos.show", "bay.status", "printing.sheet"}:
                assert headers["Cache-Control"] == "no-store", address
            elif endpoint != "static":
                assert "public" not in headers["Cache-Control"], address
            if headers["Content-Type"].startswith("text/"):
                assert "charset=utf-8" in headers["Content-Type"], address


def test_a_photo_is_sent_as_a_picture_that_can_do_nothing_else(busy: Garage) -> None:
    photo = busy.one("SELECT id FROM photo")
    headers = busy.owner.get(f"/p/{photo}.jpg").headers
    assert headers["Content-Type"] == "image/jpeg"
    assert "sandbox" in headers["Content-Security-Policy"]
    assert "private" in headers["Cache-Control"]


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


def test_a_field_of_a_million_signs_is_refused_with_a_sentence(busy: Garage) -> None:
    body = f'--x\r\nContent-Disposition: form-data; name="name"\r\n\r\n{"x" * 1_000_000}\r\n--x--\r\n'
    for endpoint, address in busy.routes("POST"):
        if endpoint == "lists.take":  # a list may be longer
            continue
        answer = busy.owner.client.post(address, data=body, content_type="multipart/form-data; boundary=x")
        assert answer.status_code == 413, address
        assert "Too large" in answer.text, address


def test_a_form_full_of_junk_is_refused_or_cut_and_fails_nothing(busy: Garage) -> None:
    fields = (
        "name",
        "reason",
        "numbers",
        "code",
        "label",
        "to",
        "title",
        "person",
        "place",
        "reached",
        "back",
    )
    for _, address in busy.routes("POST"):
        sent = dict.fromkeys(fields, "x" * 90_000) | {
            "csrf_token": busy.owner.token,
            "verb": "mark",
            "act": "off",
        }
        answer = busy.owner.client.post(address, data=urlencode(sent), content_type=FORM)
        assert answer.status_code < 500, address
    assert busy.one("SELECT max(length(body)) FROM journal") < 5000


def test_scripts_are_asked_for_anew_and_pictures_are_not(garage: Garage) -> None:
    for name, seconds in (("js/intake/outbox.js", 0), ("css/site/base.css", 3600)):
        answer = garage.stranger.get(f"/static/{name}")
        assert answer.cache_control.max_age == seconds, name
        assert answer.headers["ETag"]
