import os
import subprocess
import sys
from pathlib import Path

from tests.patience import seconds
from tests.programs import BROWSER_VARIABLE, find_browser, usual_places
from tests.running import ROOT


def program(folder: Path, name: str) -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("#!/bin/sh\n")
    path.chmod(0o755)
    return path


def test_the_browser_that_is_named_comes_first(tmp_path: Path) -> None:
    named, found = program(tmp_path, "mine"), program(tmp_path, "chromium")

    assert find_browser({BROWSER_VARIABLE: str(named), "PATH": str(tmp_path)}) == named
    assert find_browser({"PATH": str(tmp_path)}) == found


def test_a_named_browser_that_is_not_there_is_not_replaced_by_another(tmp_path: Path) -> None:
    program(tmp_path, "chromium")

    assert find_browser({BROWSER_VARIABLE: str(tmp_path / "none"), "PATH": str(tmp_path)}) is None


def test_chrome_and_edge_are_found_where_windows_and_macos_keep_them() -> None:
    windows = usual_places("win32", {"PROGRAMFILES": r"C:\Program Files", "LOCALAPPDATA": r"C:\Local"})
    macos = usual_places("darwin", {"HOME": "/Users/me"})

    assert r"C:\Program Files\Google\Chrome\Application\chrome.exe" in windows
    assert r"C:\Local\Google\Chrome\Application\chrome.exe" in windows
    assert r"C:\Program Files\Microsoft\Edge\Application\msedge.exe" in windows
    assert "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome" in macos
    assert "/Users/me/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge" in macos


def test_the_test_command_says_in_one_sentence_what_is_missing(tmp_path: Path) -> None:
    ended = subprocess.run(
        [sys.executable, "-m", "tests"],
        cwd=ROOT,
        env={**os.environ, "PATH": str(tmp_path), BROWSER_VARIABLE: str(tmp_path / "none")},
        capture_output=True,
        text=True,
        check=False,
        timeout=seconds(30),
    )

    assert ended.returncode == 3
    assert ended.stdout.startswith("The tests need Chromium and poppler's pdftoppm: install them with")
    assert ended.stdout.count("\n") == 1
