"""The one test command: `python -m tests`, with pytest's own options where wanted."""

import os
import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.budget import table, times_of
from tests.patience import load_per_core
from tests.programs import BROWSER_VARIABLE, find_browser, find_pdftoppm

CANNOT_TEST = 3
"""The exit status when a program that the tests need is missing."""

# Whole files stay in one process, because the tests of a file share its server.
_SPREAD = ["-q", "-n", "auto", "--maxprocesses", "4", "--dist", "loadfile"]
# The browser's driver keeps an event loop running in its process, which the network's tests must not meet.
_ALL_TESTS = ([*_SPREAD, "tests/browser"], [*_SPREAD, "--ignore=tests/browser"])


def main() -> int:
    """Find or install what the tests drive, run them, and tell each subject's time beside its budget.

    Going over a budget is shown and fails nothing: it depends on the machine.

    Returns:
        pytest's exit status; 3 where a program is missing.
    """
    _install(_missing())
    if missing := _missing():
        say(
            f"The tests need {' and '.join(missing.values())}: install "
            f"{'it' if len(missing) == 1 else 'them'} with the system's package manager, "
            f"or name an installed Chrome or Edge in {BROWSER_VARIABLE}."
        )
        return CANNOT_TEST
    os.environ[BROWSER_VARIABLE] = str(find_browser())
    os.chdir(Path(__file__).parents[1])
    parts = [sys.argv[1:]] if sys.argv[1:] else _ALL_TESTS
    with TemporaryDirectory(prefix="putback-tests-") as folder:
        reports = [Path(folder) / f"{nth}.xml" for nth in range(len(parts))]
        statuses = [_run(part, report) for part, report in zip(parts, reports, strict=True)]
        taken = times_of(report for report in reports if report.exists())
    if not sys.argv[1:]:
        say(table(taken, load=load_per_core()))
    return next((status for status in statuses if status), 0)


def _run(arguments: list[str], report: Path) -> int:
    command = [sys.executable, "-m", "pytest", f"--junitxml={report}", *arguments]
    return subprocess.run(command, check=False).returncode


def say(text: str) -> None:
    """Print at once, so that it stands before what the next program prints."""
    print(text, flush=True)  # noqa: T201 - a command speaks through its output


def _missing() -> dict[str, str]:
    """Return the packages that are missing, each with what it is called by people."""
    missing = {}
    if find_browser() is None:
        missing["chromium"] = "Chromium"
    if find_pdftoppm() is None:
        missing["poppler-utils"] = "poppler's pdftoppm"
    return missing


def _install(packages: dict[str, str]) -> None:
    """Install what is missing where that can be done without asking: Debian and its like, as root."""
    if not packages or sys.platform == "win32" or os.geteuid() != 0 or not shutil.which("apt-get"):
        return
    say(f"Installing {' and '.join(packages)} for the tests.")
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["update", "-qq"], ["install", "-qq", "-y", *packages]):
        subprocess.run(
            ["apt-get", *command], env=quiet, stdout=subprocess.DEVNULL, stdin=subprocess.DEVNULL, check=False
        )


if __name__ == "__main__":
    sys.exit(main())
