"""Pages and scripts are sent compressed to browsers that take it: a phone far from the router waits less."""

import gzip

from flask import Flask, Response, request

LEAST = 1400
"""A shorter body is sent as it is, [bytes]: it fits one packet anyway."""

_LEVEL = 5
_TEXT = frozenset(
    {
        "text/html",
        "text/css",
        "text/javascript",
        "application/javascript",
        "application/json",
        "image/svg+xml",
    }
)


def compress(app: Flask) -> None:
    """Compress what the application answers."""
    app.after_request(_compressed)


def _compressed(response: Response) -> Response:
    if response.mimetype not in _TEXT:
        return response
    response.vary.add("Accept-Encoding")
    whole = response.status_code not in {204, 206, 304} and "Content-Encoding" not in response.headers
    if not whole or request.method == "HEAD" or not request.accept_encodings["gzip"]:
        return response
    response.direct_passthrough = False
    body = response.get_data()
    if len(body) >= LEAST:
        response.set_data(gzip.compress(body, _LEVEL, mtime=0))
        response.headers["Content-Encoding"] = "gzip"
    return response
