import socket
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass

import pytest
from zeroconf import IPVersion, ServiceInfo, Zeroconf

from app.web.server import announcing
from app.web.server.announcing import Announcer, addresses_for, current_addresses
from tests.patience import seconds

LOOPBACK = "127.0.0.1"


@contextmanager
def announcer(
    *names: str, addresses: Sequence[str] = (LOOPBACK,), said: list[str] | None = None
) -> Iterator[Announcer]:
    """Announce on the loopback interface only, so that nothing leaves this machine."""
    sentences = said if said is not None else []
    running = Announcer(names, 8765, addresses=lambda: tuple(addresses), say=sentences.append)
    running.start()
    try:
        assert running.settled.wait(10)
        yield running
    finally:
        running.close()


@contextmanager
def another_machine(name: str, address: str) -> Iterator[None]:
    network = Zeroconf(interfaces=[LOOPBACK], ip_version=IPVersion.V4Only)
    network.register_service(
        ServiceInfo(
            "_http._tcp.local.",
            "Somebody._http._tcp.local.",
            addresses=[socket.inet_aton(address)],
            port=80,
            server=f"{name}.local.",
        )
    )
    assert resolve(name) == {address}
    try:
        yield
    finally:
        network.close()


def resolve(name: str, *, within_s: float = 8) -> set[str]:
    """Return the addresses that a newcomer on the network gets for `<name>.local`."""
    deadline = time.monotonic() + within_s
    network = Zeroconf(interfaces=[LOOPBACK], ip_version=IPVersion.V4Only)
    try:
        while time.monotonic() < deadline:
            if found := announcing._who_answers(network, name):  # noqa: SLF001 - the same question, asked anew
                return found
        return set()
    finally:
        network.close()


def resolve_all(*names: str) -> list[set[str]]:
    """Return the addresses of several names, asked for at a time."""
    with ThreadPoolExecutor(len(names)) as pool:
        return list(pool.map(resolve, names))


@dataclass(frozen=True, slots=True)
class Programs:
    """Programs on one network that were started at a time, since each waits seconds for the network.

    Args:
        bench: Answers to `bench-one`, and to `bench-old`, a name on old tags.
        ending: Answers to `bench-two`, and is ended by a test.
        beside: Was started with `bench-three`, to which another machine answers, and `bench-four`.
        told: What `beside` said.
        moved: Answers to `bench-six` at `addresses`.
        addresses: Where it is.
    """

    bench: Announcer
    ending: Announcer
    beside: Announcer
    told: list[str]
    moved: Announcer
    addresses: list[str]


@pytest.fixture(scope="module")
def programs() -> Iterator[Programs]:
    told: list[str] = []
    addresses = [LOOPBACK]
    with ExitStack() as stack, pytest.MonkeyPatch.context() as patched:
        patched.setattr(announcing, "_LOOK_EVERY_SECONDS", 0.1)

        def beside() -> Announcer:
            stack.enter_context(another_machine("bench-three", "198.51.100.7"))
            return stack.enter_context(announcer("bench-three", "bench-four", said=told))

        def started(*names: str, at: Sequence[str] = (LOOPBACK,)) -> Announcer:
            return stack.enter_context(announcer(*names, addresses=at))

        with ThreadPoolExecutor(4) as pool:
            first = pool.submit(beside)
            others = [
                pool.submit(started, "bench-one", "bench-old"),
                pool.submit(started, "bench-two"),
                pool.submit(started, "bench-six", at=addresses),
            ]
            bench, ending, moved = (each.result() for each in others)
        yield Programs(bench, ending, first.result(), told, moved, addresses)


def test_the_name_in_use_and_the_names_on_old_tags_resolve(programs: Programs) -> None:
    assert programs.bench.taken == frozenset()
    assert resolve_all("bench-one", "BENCH-OLD") == [{LOOPBACK}] * 2


def test_the_name_is_gone_when_the_program_has_ended(programs: Programs) -> None:
    assert resolve("bench-two") == {LOOPBACK}
    programs.ending.close()

    assert resolve("bench-two", within_s=1) == set()


def test_a_name_that_another_machine_answers_to_is_left_to_it_and_said_once(programs: Programs) -> None:
    assert programs.beside.taken == {"bench-three"}
    assert resolve_all("bench-four", "bench-three") == [{LOOPBACK}, {"198.51.100.7"}]
    programs.beside.close()

    assert len(programs.told) == 1
    assert programs.told[0].startswith("Another machine on this network already answers to bench-three.local")


def test_a_second_program_of_this_machine_may_answer_to_the_same_name(programs: Programs) -> None:
    said: list[str] = []
    assert resolve("bench-one") == {LOOPBACK}
    with announcer("bench-one", said=said) as second:
        assert second.taken == programs.bench.taken == frozenset()
    assert said == []


def test_a_changed_address_is_announced_instead_of_the_old_one(programs: Programs) -> None:
    assert resolve("bench-six") == {LOOPBACK}

    programs.addresses[:] = ["127.0.0.1", "127.0.0.2"]
    deadline = time.monotonic() + seconds(15)
    while (found := resolve("bench-six")) != {"127.0.0.1", "127.0.0.2"} and time.monotonic() < deadline:
        time.sleep(0.2)

    assert found == {"127.0.0.1", "127.0.0.2"}


def test_what_stays_taken_while_the_addresses_change_is_not_said_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(announcing, "_LOOK_EVERY_SECONDS", 0.01)
    monkeypatch.setattr(announcing, "_who_answers", lambda *_: {"198.51.100.7"})
    said: list[str] = []
    looked: list[tuple[str, ...]] = []

    def addresses() -> tuple[str, ...]:
        looked.append((LOOPBACK, "127.0.0.2")[: 1 + len(looked) % 2])
        return looked[-1]

    running = Announcer(["bench-nine"], 8765, addresses=addresses, say=said.append)
    running.start()
    deadline = time.monotonic() + seconds(15)
    while len(looked) < 4 and time.monotonic() < deadline:
        time.sleep(0.02)
    running.close()

    assert len(looked) >= 4
    assert len(said) == 1


def test_without_a_network_nothing_is_announced_and_nothing_fails() -> None:
    said: list[str] = []
    with announcer("bench-seven", addresses=(), said=said) as running:
        assert running.taken == frozenset()
    assert said == []


# The library leaves the sockets of a failed start to the garbage collector.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_an_address_that_is_gone_again_fails_nothing() -> None:
    said: list[str] = []
    with announcer("bench-eight", addresses=("198.51.100.7",), said=said) as running:
        assert running.taken == frozenset()

    assert said == []


def test_a_server_that_phones_cannot_reach_has_no_address_for_them() -> None:
    assert addresses_for("127.0.0.1")() == ()
    assert addresses_for("localhost")() == ()
    assert addresses_for("198.51.100.7")() == ()


def test_a_server_on_one_address_gives_that_one_and_a_server_on_all_gives_all() -> None:
    for address in current_addresses():
        assert addresses_for(address)() == (address,)
    assert addresses_for("0.0.0.0")() == current_addresses()  # noqa: S104 - not listened on


def test_the_addresses_for_phones_are_numbers_that_a_phone_can_reach() -> None:
    for address in current_addresses():
        assert socket.inet_aton(address)
        assert not address.startswith(("127.", "169.254."))
