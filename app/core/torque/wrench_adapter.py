"""A crow-foot or other adapter on the square of a torque wrench, and what it changes about the setting."""

from dataclasses import dataclass
from math import cos, isfinite, radians

from app.core.problem import Problem

_NO_ARM = 1e-9


@dataclass(frozen=True, slots=True)
class Adapter:
    """A crow-foot or other adapter on the square.

    Args:
        name: What the owner calls it.
        length_mm: From the middle of the square to the middle of the bolt, [mm].
        angle_deg: Between the line of the wrench and the adapter: 0 in line, 90 square, 180 backward, [°].
    """

    name: str
    length_mm: float
    angle_deg: float = 0.0


def adapter_setting(wanted: float, lever: float, length: float, angle_deg: float = 0.0) -> float | Problem:
    """Return what to set on the wrench so that the wanted torque arrives at the bolt: T·L / (L + E·cos a).

    Args:
        wanted: Torque at the bolt, any unit, above 0.
        lever: L, from the square to the middle of the grip, any length unit, above 0.
        length: E, of the adapter, same unit; negative for one that points back along the handle.
        angle_deg: a, between the line of the wrench and the adapter, [°].

    Returns:
        The setting in the unit of `wanted`, or a `Problem` naming `wanted`, `lever`, `adapter` or `angle`.

    Source: US Army TM 9-254, figure 4-6 (L + E·cos a).
    """
    for field, value in (("wanted", wanted), ("lever", lever)):
        if not (isfinite(value) and value > 0):
            return Problem(f"{field}-not-above-zero", f"The {field} must be above zero.", field)
    for field, value in (("adapter", length), ("angle", angle_deg)):
        if not isfinite(value):
            return Problem(f"{field}-not-a-number", f"The {field} is not a number.", field)
    arm = lever + length * cos(radians(angle_deg))
    if arm <= lever * _NO_ARM:
        return Problem(
            "adapter-too-long-backward",
            "Pointing backward, the adapter reaches the grip or beyond it: no setting gives this torque.",
            "adapter",
        )
    return wanted * lever / arm
