"""Ids: 32 hexadecimal digits, made by whoever writes first."""

import re

_ID = re.compile(r"[0-9a-f]{32}")


def is_id(value: object) -> bool:
    """Tell whether this is an id."""
    return isinstance(value, str) and _ID.fullmatch(value) is not None
