"""What stands on every answer, and how faults are answered."""

from urllib.parse import urlencode

from tests.web.conftest import Garage

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
    counted = "subject NOT LIKE 'build:%' OR verb != 'add'"  # a new build says all its steps in its own line
    assert busy.one(f"SELECT max(length(body)) FROM journal WHERE {counted}") < 5000  # noqa: S608 - our own words


def test_scripts_are_asked_for_anew_and_pictures_are_not(garage: Garage) -> None:
    for name, seconds in (("js/intake/outbox.js", 0), ("css/site/base.css", 3600)):
        answer = garage.stranger.get(f"/static/{name}")
        assert answer.cache_control.max_age == seconds, name
        assert answer.headers["ETag"]
