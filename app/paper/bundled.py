"""Where the fonts and grids lie: beside `app` in the source tree, under it in an installed wheel."""

from pathlib import Path

_APP = Path(__file__).resolve().parents[1]


def bundled(path: str) -> Path:
    """Return the place of a file that comes with the program, such as `static/fonts/x.ttf`."""
    installed = _APP / "_bundled" / path
    return installed if installed.exists() else _APP.parent / path
