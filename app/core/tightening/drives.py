"""What a tool takes hold of: whatever name is typed for it, the standard's is shown and compared."""

import re

_NAMES = (
    ("six-lobe", r"torx|hexalobular|six[\s-]lobe"),
    ("hexagon socket", r"socket \(allen\)|allen|hex(?:agon)?\s?socket"),
    ("cross recess PH", r"phillips|cross[\s-]recess ph"),
    ("cross recess PZ", r"pozidriv|cross[\s-]recess pz"),
    ("cross recess", r"cross[\s-]recess"),
    ("12-point", r"12[\s-]point|bi-?hexagonal"),
    ("slotted", r"slotted"),
)
"""The names of the standards (ISO 10664, ISO 4762, ISO 4757), and what people and lists write."""

_DRIVE = re.compile("|".join(rf"(?<!\w)({words})(?!\w)" for _, words in _NAMES), re.IGNORECASE)


def standard_names(text: str) -> str:
    """Return a text with every name of a drive written as the standard does."""
    return _DRIVE.sub(_name, text)


def drive_in(text: str) -> str:
    """Return the drive that is named first in a text; empty where none is."""
    found = _DRIVE.search(text)
    return _name(found) if found else ""


def without_drives(text: str) -> str:
    """Return a text without the names of drives, so that `12-point` is not taken for a number."""
    return _DRIVE.sub(" ", text)


def _name(found: re.Match[str]) -> str:
    return _NAMES[(found.lastindex or 1) - 1][0]
