"""How the vehicle stands, in words."""

from collections.abc import Mapping
from types import MappingProxyType

HEIGHT_TEXT: Mapping[str, str] = MappingProxyType(
    {
        "wheels": "on its wheels",
        "stands": "on stands",
        "lift": "on a lift",
        "ground": "on the ground",
        "bench": "on the bench",
    },
)
"""Every height, to stand after «the vehicle»; on the bench it is work beside the vehicle."""
