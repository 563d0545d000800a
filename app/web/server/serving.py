"""The server: its listening sockets, and the loop that answers until it is told to stop."""

import errno
import socket
import sys
import threading
from collections.abc import Iterable, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

from waitress import wasyncore
from waitress.channel import HTTPChannel
from waitress.server import BaseWSGIServer, create_server

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication

BODY_LIMIT = 64 << 20
"""The most that one request may carry, [bytes]: a photo of 48 megapixels and some to spare.

The application refuses more, with a page that says so. The server itself takes twice as much, because one
that hangs up in the middle of a photo gives a phone nothing to show.
"""

THREADS = 12
_HEADER_LIMIT = 64 << 10
# Browsers hold up to six connections each, and an idle or stalled one is dropped after two minutes.
_CONNECTIONS = 300
_QUIET_SECONDS = 120
_WAITING_TO_BE_ACCEPTED = 128
_TICK_SECONDS = 0.2
_TLS_HANDSHAKE = b"\x16"

# A port is free again at once after a restart. On Windows the same option would let two programs share it.
if sys.platform == "win32":
    _ALONE = socket.SO_EXCLUSIVEADDRUSE
else:
    _ALONE = socket.SO_REUSEADDR


class PortError(Exception):
    """A port cannot be listened on; the message says why and what to do."""


def listen(host: str, port: int) -> socket.socket:
    """Listen on one port.

    Args:
        host: An address of this machine; `0.0.0.0` for all of them.
        port: 1 to 65535.

    Raises:
        PortError: Another program has the port, this user may not have it, or `host` is elsewhere.
    """
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
    except OSError as error:
        raise PortError(f"{host} is not an address of this machine.") from error
    listener = socket.socket(family, kind, protocol)
    try:
        listener.setsockopt(socket.SOL_SOCKET, _ALONE, 1)
        listener.bind(address)
        listener.listen(_WAITING_TO_BE_ACCEPTED)
    except OSError as error:
        listener.close()
        raise PortError(_why_shut(host, port, error)) from error
    return listener


def listen_where_free(host: str, ports: Iterable[int]) -> list[socket.socket]:
    """Listen on those of the ports that are free."""
    listeners = []
    for port in ports:
        with suppress(PortError):
            listeners.append(listen(host, port))
    return listeners


class Server:
    """One process answering on one or several ports; stalled senders hold up nobody.

    Args:
        app: The application.
        listeners: From `listen`, at least one; the server closes them.
        threads: How many requests are worked on at once.
    """

    def __init__(
        self, app: "WSGIApplication", listeners: Sequence[socket.socket], *, threads: int = THREADS
    ) -> None:
        self.ports = tuple(listener.getsockname()[1] for listener in listeners)
        self._stopping = threading.Event()
        self._map: dict[int, wasyncore.dispatcher] = {}
        self._tasks = create_server(
            app,
            map=self._map,
            sockets=list(listeners),
            threads=threads,
            max_request_body_size=2 * BODY_LIMIT,
            max_request_header_size=_HEADER_LIMIT,
            connection_limit=_CONNECTIONS,
            channel_timeout=_QUIET_SECONDS,
            log_socket_errors=False,
            ident=None,
        ).task_dispatcher
        for part in self._map.values():
            if isinstance(part, BaseWSGIServer):
                part.channel_class = _PlainChannel

    def run(self) -> None:
        """Answer until `close`; then let what is being worked on end, for 5 s at most."""
        try:
            while not self._stopping.is_set():
                wasyncore.loop(timeout=_TICK_SECONDS, use_poll=True, map=self._map, count=1)
        finally:
            self._tasks.shutdown()
            wasyncore.close_all(self._map, ignore_all=True)

    def close(self) -> None:
        """Make `run` return; may be called from another thread or a signal, more than once."""
        self._stopping.set()


class _PlainChannel(HTTPChannel):
    """A connection that hangs up on a browser trying https, which then comes back with http at once."""

    def received(self, data: bytes) -> bool:
        # No request begins with this byte, so a hello that comes in pieces is known by its first.
        if self.request is None and data[:1] == _TLS_HANDSHAKE:
            self.will_close = True
            return False
        return bool(super().received(data))  # type: ignore[no-untyped-call]  # the library has no types


def _why_shut(host: str, port: int, error: OSError) -> str:
    if error.errno == errno.EADDRINUSE:
        return f"Port {port} is in use by another program: stop that one, or choose another with --port."
    if error.errno == errno.EADDRNOTAVAIL:
        return f"{host} is not an address of this machine."
    if isinstance(error, PermissionError):
        return f"Port {port} is not allowed here: choose another from 1024 to 65535 with --port."
    return f"Port {port} of {host} cannot be listened on: {error.strerror or error}."
