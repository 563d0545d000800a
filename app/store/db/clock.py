"""The one place that reads the clock and draws ids; all else gets them as arguments."""

import secrets
from datetime import UTC, datetime


def utc_now() -> datetime:
    """Return the time, UTC."""
    return datetime.now(UTC)


def stamp(moment: datetime) -> str:
    """Return a moment as it is stored: ISO 8601, UTC, to the second."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def new_id() -> str:
    """Return a fresh id, 128 bits, 32 hexadecimal digits."""
    return secrets.token_hex(16)
