"""Announcing the laptop's name on the local network, so that a printed tag needs no number."""

import socket
import threading
import time
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import TypeVar

import ifaddr
from zeroconf import AddressResolverIPv4, DNSQuestionType, Error, IPVersion, ServiceInfo, Zeroconf  # type: ignore[attr-defined]  # the resolver is missing from the list of exports

T = TypeVar("T")
_SERVICE = "_http._tcp.local."
_LOOK_EVERY_SECONDS = 5.0
# How much longer than asked a pause may last before the laptop must have slept through it.
_SLEPT_SECONDS = 20.0
_ANSWER_WITHIN_MS = 1500
_NOT_FOR_PHONES = ("127.", "169.254.")
# Networks between this machine and programs inside it, by the names that their makers give them (common
# practice): a phone that was sent there would wait in vain.
_INSIDE = ("docker", "br-", "veth", "virbr", "vmnet", "vmware", "virtualbox", "hyper-v", "lxc", "podman")


def current_addresses() -> tuple[str, ...]:
    """Return this machine's IPv4 addresses on its networks, the most likely one for phones first."""
    usual = _usual_address()
    for_phones = {
        address for address, adapter in _own_addresses() if not any(mark in adapter for mark in _INSIDE)
    }
    return tuple(sorted(for_phones, key=lambda address: (address != usual, address)))


def addresses_for(host: str) -> Callable[[], tuple[str, ...]]:
    """Return what tells the addresses at which phones reach a server that listens on `host`."""
    if host == "0.0.0.0":  # noqa: S104 - compared, not listened on
        return current_addresses
    return lambda: tuple(address for address, _ in _own_addresses() if address == host)


class Announcer:
    """Answers for names on the local network, and goes on answering when the addresses change.

    Args:
        names: Host names without `.local`: the one in use, and those on tags already printed.
        port: The port of the first name's pages.
        addresses: Tells the addresses at this moment; while there are none, nothing is announced.
        say: Is told, once, each sentence that a person should know.
    """

    def __init__(
        self,
        names: Iterable[str],
        port: int,
        *,
        addresses: Callable[[], Sequence[str]],
        say: Callable[[str], None],
    ) -> None:
        self.taken: frozenset[str] = frozenset()
        self.settled = threading.Event()
        self._names = tuple(dict.fromkeys(names))
        self._port = port
        self._addresses = addresses
        self._say = say
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._watch, name="announcing", daemon=True)

    def start(self) -> None:
        """Begin, in a thread of its own; `settled` is set once it is known whose the names are."""
        self._thread.start()

    def close(self) -> None:
        """Take the names back; may be called more than once."""
        self._stop.set()
        self._thread.join(timeout=10)

    def _watch(self) -> None:
        network: Zeroconf | None = None
        announced: tuple[str, ...] = ()
        looked = time.time()
        while not self._stop.is_set():
            now = tuple(self._addresses())
            slept = time.time() - looked > _LOOK_EVERY_SECONDS + _SLEPT_SECONDS
            if now != announced or slept:
                # A changed address is not taken up by an object that is already announcing: build anew.
                _silence(network)
                network = self._announce(now)
                announced = now if network else ()
            looked = time.time()
            self.settled.set()
            self._stop.wait(_LOOK_EVERY_SECONDS)
        _silence(network)

    def _announce(self, addresses: tuple[str, ...]) -> Zeroconf | None:
        """Return what now answers for the free names; None without a network."""
        if not addresses:
            return None
        try:
            network = Zeroconf(interfaces=list(addresses), ip_version=IPVersion.V4Only)
        except OSError:
            return None
        try:
            ours = self._sort_out(network, addresses)
            self.settled.set()
            _for_each(
                lambda name: network.register_service(
                    _service(name, addresses, self._port), allow_name_change=True
                ),
                ours,
            )
        except (OSError, Error):
            _silence(network)
            return None
        return network

    def _sort_out(self, network: Zeroconf, addresses: tuple[str, ...]) -> list[str]:
        """Return the names to answer for, and say which belong to somebody else."""
        found = _for_each(lambda name: _who_answers(network, name), self._names)
        answers = dict(zip(self._names, found, strict=True))
        here = {*addresses, *(address for address, _ in _own_addresses())}
        taken = frozenset(name for name, found in answers.items() if not found <= here)
        for name in sorted(taken - self.taken):
            self._say(
                f"Another machine on this network already answers to {name}.local, so that name is not used: "
                "use the addresses with numbers, or stop the other one and start again."
            )
        self.taken = taken
        # A second answer for the machine's own name makes some systems rename themselves.
        return [
            name
            for name, found in answers.items()
            if name not in taken and not (found and _is_own_name(name))
        ]


def _for_each(work: Callable[[str], T], names: Sequence[str]) -> list[T]:
    """Return what comes of each name, all at a time: each waits seconds for the network."""
    with ThreadPoolExecutor(max_workers=max(1, len(names)), thread_name_prefix="announcing") as pool:
        return list(pool.map(work, names))


def _service(name: str, addresses: Sequence[str], port: int) -> ServiceInfo:
    return ServiceInfo(
        _SERVICE,
        f"Putback {name}.{_SERVICE}",
        addresses=[socket.inet_aton(address) for address in addresses],
        port=port,
        server=f"{name}.local.",
    )


def _who_answers(network: Zeroconf, name: str) -> set[str]:
    resolver = AddressResolverIPv4(f"{name}.local.")
    # An answer for the asker alone would be lost among several programs of one machine.
    resolver.request(network, _ANSWER_WITHIN_MS, question_type=DNSQuestionType.QM)
    return set(resolver.parsed_addresses())


def _silence(network: Zeroconf | None) -> None:
    if network is not None:
        with suppress(OSError, Error):
            network.close()


def _own_addresses() -> list[tuple[str, str]]:
    """Return each IPv4 address of this machine beside the names of its adapter, in small letters."""
    return [
        (address.ip, f"{adapter.name} {adapter.nice_name}".lower())
        for adapter in ifaddr.get_adapters()
        for address in adapter.ips
        if isinstance(address.ip, str) and not address.ip.startswith(_NOT_FOR_PHONES)
    ]


def _usual_address() -> str:
    """Return the address that talks to the outside; empty without a network."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        # Sends nothing: the system only picks a way. The address is one kept for documents (RFC 5737).
        probe.connect(("203.0.113.1", 9))
        return str(probe.getsockname()[0])
    return ""


def _is_own_name(name: str) -> bool:
    return socket.gethostname().split(".")[0].lower() == name.lower()
