"""A real `putback` process, for tests that need one."""

import os
import queue
import re
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.patience import seconds

ROOT = Path(__file__).parents[1]
HERE = "127.0.0.1"
_LAST_LINE = "To stop:"
_STARTS_WITHIN_S = 30
_STOPS_WITHIN_S = 20
"""On a quiet machine."""


@dataclass(frozen=True, slots=True)
class Running:
    """A started process and what it has printed."""

    process: "subprocess.Popen[str]"
    printed: str

    @property
    def start_link(self) -> str:
        """The address with the one-time key."""
        found = re.search(r"http://\S+/start/\S+", self.printed)
        assert found, self.printed
        return found.group()

    @property
    def folder(self) -> Path:
        """The data folder that it says it uses."""
        found = re.search(r"^  Data folder +(.+)$", self.printed, re.MULTILINE)
        assert found, self.printed
        return Path(found.group(1))

    def stop(self, number: int = signal.SIGTERM) -> int:
        """Send a signal and return the exit status."""
        if self.process.poll() is None:
            self.process.send_signal(number)
        return self.process.wait(timeout=seconds(_STOPS_WITHIN_S))


@contextmanager
def running(*arguments: str) -> Iterator[Running]:
    """Start `putback` with `--no-browser` on this machine alone, and stop it at the end."""
    with subprocess.Popen(
        command(*arguments),
        cwd=ROOT,
        env=quiet_environment(),
        stdout=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    ) as process:
        try:
            started = Running(process, _read_greeting(process))
            yield started
            started.stop()
        finally:
            process.kill()


def refused(*arguments: str) -> tuple[int, str]:
    """Start `putback` where it cannot; return its exit status and its standard error."""
    ended = subprocess.run(
        command(*arguments),
        cwd=ROOT,
        env=quiet_environment(),
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=seconds(_STARTS_WITHIN_S),
        check=False,
    )
    return ended.returncode, ended.stderr


def free_port() -> int:
    """Return a port that nothing listens on."""
    with closing(socket.socket()) as probe:
        probe.bind((HERE, 0))
        return int(probe.getsockname()[1])


def command(*arguments: str) -> list[str]:
    """Return the command line of a `putback` that this machine alone can reach."""
    return [sys.executable, "-m", "app", "--no-browser", "--host", HERE, *arguments]


def quiet_environment() -> dict[str, str]:
    """Return the environment with text in UTF-8."""
    return {**os.environ, "PYTHONUTF8": "1"}


def _read_greeting(process: "subprocess.Popen[str]") -> str:
    """Return what is printed up to the line on stopping."""
    lines: queue.Queue[str] = queue.Queue()

    def read() -> None:
        for line in process.stdout or ():
            lines.put(line)
            if line.startswith(_LAST_LINE):
                return
        lines.put("")

    threading.Thread(target=read, daemon=True).start()
    printed = ""
    while not (line := lines.get(timeout=seconds(_STARTS_WITHIN_S))).startswith(_LAST_LINE):
        assert line, f"the process ended with {process.wait()}: {printed}"
        printed += line
    return printed
