"""What becomes of a thing, in words: its destiny, the fate of the old one, and the disposition of a part."""

from collections.abc import Mapping
from types import MappingProxyType

from app.core.items.items import FATES
from app.core.ledger.dispositions import DISPOSITIONS

DESTINY_TEXT: Mapping[str, str] = MappingProxyType(
    {
        "refit": "goes back",
        "transfer": "goes to the new engine",
        "replaced": "replaced",
        "left_out": "left out",
        "stays_on_old": "stays on the old engine",
        "undecided": "undecided",
    },
)
"""Every destiny; the order is that of a list to choose from."""

_OTHERS: Mapping[str, str] = MappingProxyType(
    {
        "fate_unsaid": "replaced: what becomes of the old one?",
        "pattern": "kept as a pattern until it runs",
        "core_return": "returned as a core",
        "sold": "sold",
        "scrapped": "scrapped",
    },
)
FATE_TEXT: Mapping[str, str] = MappingProxyType({fate: _OTHERS[fate] for fate in FATES})
"""Every fate of an old one."""

DISPOSITION_TEXT: Mapping[str, str] = MappingProxyType(
    {key: {**DESTINY_TEXT, **_OTHERS}[key] for key in DISPOSITIONS},
)
"""Every disposition; what is undecided comes first."""
