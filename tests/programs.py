"""The programs outside Python that the tests drive: a browser, and poppler's `pdftoppm`."""

import os
import shutil
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path

BROWSER_VARIABLE = "PUTBACK_BROWSER"
_BROWSER_COMMANDS = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "microsoft-edge",
    "microsoft-edge-stable",
    "chrome",
    "msedge",
)
_LINUX = ("/opt/google/chrome/chrome", "/opt/microsoft/msedge/msedge", "/snap/bin/chromium")
_MACOS = ("Chromium", "Google Chrome", "Microsoft Edge")
_WINDOWS = (r"Chromium\Application\chrome.exe", r"Google\Chrome\Application\chrome.exe")
_WINDOWS_EDGE = r"Microsoft\Edge\Application\msedge.exe"
_WINDOWS_ROOTS = ("PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA")


def find_browser(environment: Mapping[str, str] = os.environ) -> Path | None:
    """Return Chromium, Chrome or Edge: the one that is named, else the first that is found."""
    if named := environment.get(BROWSER_VARIABLE):
        return _first([named])
    on_path = (shutil.which(command, path=environment.get("PATH", "")) for command in _BROWSER_COMMANDS)
    return _first([*filter(None, on_path), *usual_places(sys.platform, environment)])


def find_pdftoppm() -> Path | None:
    """Return the program that turns PDF pages into pictures."""
    return _first(filter(None, [shutil.which("pdftoppm")]))


def usual_places(platform: str, environment: Mapping[str, str]) -> list[str]:
    """Return where browsers are installed without being on the PATH.

    Args:
        platform: As in `sys.platform`.
        environment: The environment variables.
    """
    if platform == "win32":
        roots = [environment[name] for name in _WINDOWS_ROOTS if name in environment]
        return [f"{root}\\{program}" for program in (*_WINDOWS, _WINDOWS_EDGE) for root in roots]
    if platform == "darwin":
        folders = ["/Applications", f"{environment.get('HOME', '')}/Applications"]
        return [f"{folder}/{name}.app/Contents/MacOS/{name}" for name in _MACOS for folder in folders]
    return list(_LINUX)


def _first(places: Iterable[str]) -> Path | None:
    return next((Path(place) for place in places if Path(place).is_file()), None)
