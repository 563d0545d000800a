"""What a step is for."""

from enum import StrEnum


class Role(StrEnum):
    """What a step is for; one role for both ways: the lift out is the lift in on the way back."""

    NONE = ""
    LIFT = "lift"
    MATING = "mating"
    LANDING = "landing"
    BENCH = "bench"
    JOINTS = "joints"
    BATTERY = "battery"
    DRAIN = "drain"
    FILL = "fill"
    BLEED = "bleed"
    PRIME = "prime"
    FIRST_START = "first_start"
    MOVE = "move"
