"""How true a torque wrench may be: classes of ISO 6789 by sort and torque, and when it is checked."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from types import MappingProxyType

FINE_UP_TO_NM = 10.0
"""Up to and at this torque the wider deviation holds, [N·m]. Source: ISO 6789."""
CHECK_AGAIN_AFTER = timedelta(days=365)
"""ISO 6789 asks for a check every 12 months or 5,000 operations, from memory."""


class WrenchType(StrEnum):
    """How the wrench tells the torque."""

    CLICK = "click"
    BEAM = "beam"
    DIAL = "dial"
    DIGITAL = "digital"
    ANGLE = "angle"


@dataclass(frozen=True, slots=True)
class WrenchClass:
    """A type and class of ISO 6789.

    Args:
        name: `type II class A`.
        fine_share: Permissible deviation up to 10 N·m, [-].
        share: Permissible deviation above, [-].
        source: Where the figures are from.
    """

    name: str
    fine_share: float
    share: float
    source: str


_QUOTED = "ISO 6789-1:2017, as quoted in a maker's manual for a wrench"
_REMEMBERED = "ISO 6789, table of permissible deviations, from memory, not seen"
CLASSES: Mapping[WrenchType, WrenchClass] = MappingProxyType(
    {
        WrenchType.CLICK: WrenchClass("type II class A", 0.06, 0.04, _QUOTED),
        WrenchType.BEAM: WrenchClass("type I class A", 0.06, 0.06, _REMEMBERED),
        WrenchType.DIAL: WrenchClass("type I class B", 0.06, 0.04, _REMEMBERED),
        WrenchType.DIGITAL: WrenchClass("type I class C", 0.06, 0.04, _REMEMBERED),
    }
)
"""Class of a wrench by how it tells the torque. A bending or torsion bar has 6 % at every torque."""


def iso6789_share(torque_nm: float, sort: WrenchType = WrenchType.CLICK) -> float:
    """Return the permissible deviation of a wrench at a torque, [-]: 0.06 up to 10 N·m, 0.04 above.

    Args:
        torque_nm: The torque, [N·m].
        sort: How the wrench tells it; a beam has 0.06 at every torque.

    Raises:
        ValueError: A gauge for angles has no such deviation.
    """
    if sort not in CLASSES:
        raise ValueError(sort)
    own = CLASSES[sort]
    return own.fine_share if torque_nm <= FINE_UP_TO_NM else own.share


def iso6789_deviation_nm(torque_nm: float, sort: WrenchType = WrenchType.CLICK) -> float:
    """Return the permissible deviation of a wrench at a torque, [N·m]."""
    return torque_nm * iso6789_share(torque_nm, sort)


def check_is_overdue(checked_on: date | None, today: date) -> bool:
    """Return whether a wrench was never checked, or not within 12 months."""
    return checked_on is None or today - checked_on > CHECK_AGAIN_AFTER


def check_words(checked_on: date | None, today: date) -> str:
    """Return what to tell about the last check beside a setting; empty where it is not overdue."""
    if checked_on is None:
        return "This wrench has never been checked."
    if check_is_overdue(checked_on, today):
        return f"Last checked on {checked_on.isoformat()}, more than 12 months ago."
    return ""
