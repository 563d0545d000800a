import http.client
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import closing, suppress

import pytest
from flask import Flask, request

from app.web.server.serving import BODY_LIMIT, THREADS, PortError, Server, listen, listen_where_free
from tests.patience import seconds

HERE = "127.0.0.1"
TLS_HELLO = bytes.fromhex("16030102000100") + bytes(500)


def small_app(begun: threading.Event | None = None) -> Flask:
    """A small application.

    Args:
        begun: Set once the slow page is being worked on.
    """
    app = Flask(__name__)

    @app.get("/")
    def hello() -> str:
        return "hello"

    @app.post("/length")
    def length() -> str:
        return str(len(request.get_data()))

    @app.get("/slow")
    def slow() -> str:
        if begun:
            begun.set()
        time.sleep(0.5)
        return "ended"

    return app


def free_port() -> int:
    with closing(listen(HERE, 0)) as door:
        return int(door.getsockname()[1])


@pytest.fixture
def server() -> Iterator[Server]:
    running = Server(small_app(), [listen(HERE, 0), listen(HERE, 0)])
    thread = threading.Thread(target=running.run)
    thread.start()
    yield running
    running.close()
    thread.join(timeout=seconds(10))
    assert not thread.is_alive()


def fetch(port: int, path: str = "/", body: bytes | None = None) -> tuple[int, bytes]:
    with closing(http.client.HTTPConnection(HERE, port, timeout=seconds(10))) as connection:
        connection.request("GET" if body is None else "POST", path, body)
        answer = connection.getresponse()
        return answer.status, answer.read()


def test_every_door_answers(server: Server) -> None:
    assert [fetch(port) for port in server.ports] == [(200, b"hello")] * 2


def test_a_browser_that_tries_https_is_hung_up_on_at_once(server: Server) -> None:
    for pieces in ([TLS_HELLO], [TLS_HELLO[:1]], [TLS_HELLO[:3], TLS_HELLO[3:]]):
        with socket.create_connection((HERE, server.ports[0]), timeout=seconds(5)) as connection:
            started = time.monotonic()
            for piece in pieces:
                connection.sendall(piece)
            with suppress(ConnectionResetError):  # hung up as well
                assert connection.recv(1) == b""
            assert time.monotonic() - started < seconds(1)


def test_a_body_that_looks_like_a_tls_hello_arrives_whole(server: Server) -> None:
    body = b"\x16" * 5_000_000

    assert fetch(server.ports[0], "/length", body) == (200, b"5000000")


def test_a_photo_at_the_limit_arrives_whole(server: Server) -> None:
    assert fetch(server.ports[0], "/length", bytes(BODY_LIMIT)) == (200, str(BODY_LIMIT).encode())


def test_a_body_beyond_twice_the_limit_is_refused_before_it_is_sent(server: Server) -> None:
    with socket.create_connection((HERE, server.ports[0]), timeout=seconds(5)) as connection:
        connection.sendall(
            b"POST /length HTTP/1.1\r\nHost: x\r\nContent-Length: %d\r\n\r\n" % (2 * BODY_LIMIT)
        )

        assert connection.recv(20).startswith(b"HTTP/1.1 413")


def test_more_stalled_uploads_than_threads_hold_up_nobody(server: Server) -> None:
    stalled = [socket.create_connection((HERE, server.ports[0])) for _ in range(2 * THREADS)]
    for connection in stalled:
        connection.sendall(b"POST /length HTTP/1.1\r\nHost: x\r\nContent-Length: 1000000\r\n\r\nbegun")

    started = time.monotonic()
    answer = fetch(server.ports[0])
    waited = time.monotonic() - started
    for connection in stalled:
        connection.close()

    assert answer == (200, b"hello")
    assert waited < seconds(1)


def test_what_is_being_worked_on_is_answered_before_the_server_ends() -> None:
    begun = threading.Event()
    server = Server(small_app(begun), [listen(HERE, 0)])
    running = threading.Thread(target=server.run)
    running.start()
    with socket.create_connection((HERE, server.ports[0]), timeout=seconds(5)) as connection:
        connection.sendall(b"GET /slow HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
        assert begun.wait(timeout=seconds(5))
        server.close()
        received = b"".join(iter(lambda: connection.recv(4096), b""))
    running.join(timeout=seconds(10))

    assert received.endswith(b"ended")
    with closing(listen(HERE, server.ports[0])):
        assert not running.is_alive()


def test_a_taken_port_is_named_in_one_sentence() -> None:
    with closing(listen(HERE, 0)) as door:
        port = door.getsockname()[1]
        with pytest.raises(PortError, match=rf"^Port {port} is in use by another program: .* --port\.$"):
            listen(HERE, port)


def test_an_address_of_another_machine_is_named_in_one_sentence() -> None:
    with pytest.raises(PortError, match=r"^198\.51\.100\.7 is not an address of this machine\.$"):
        listen("198.51.100.7", free_port())
    with pytest.raises(PortError, match=r"^no such host is not an address of this machine\.$"):
        listen("no such host", free_port())


def test_of_the_ports_on_old_tags_the_free_ones_are_opened() -> None:
    with closing(listen(HERE, 0)) as taken:
        free = free_port()
        doors = listen_where_free(HERE, [taken.getsockname()[1], free])

        assert [door.getsockname()[1] for door in doors] == [free]
        for door in doors:
            door.close()
