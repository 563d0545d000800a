"""The words that a list's cells may use: for heights, directions, what becomes of a thing, and kinds."""

import re
from collections.abc import Mapping

from app.core.items.kinds import Kind
from app.core.phases.sides import ON_BEFORE, STAYS_OFF
from app.core.wording.destinies import DESTINY_TEXT
from app.core.wording.heights import HEIGHT_TEXT

NOTHING = frozenset({"-", "--", "\u2010", "\u2013", "\u2014", "n/a", "n.a."})
"""Cells that say that there is nothing to say, as empty ones do."""
NO_FIGURE = "no figure"
"""What the column `torque` says where a figure was looked for and none found."""


def _by_word(words: Mapping[str, tuple[str, ...]], shown: Mapping[str, str] | None = None) -> dict[str, str]:
    """Return each word with what it means; what pages show for it is understood too."""
    return {text: key for key, text in (shown or {}).items()} | {
        word: key for key, alike in words.items() for word in alike
    }


HEIGHTS = _by_word(
    {
        "wheels": (
            *("wheels", "on wheels", "on the wheels", "down", "level", "lowered"),
            *("vehicle on wheels", "car on wheels", "above", "from above"),
        ),
        "stands": (
            *("stands", "axle stands", "on axle stands", "jack stands", "on jack stands"),
            *(
                "jackstands",
                "jacked",
                "jacked up",
                "raised",
                "up",
                "ramps",
                "on ramps",
                "stand",
                "on a stand",
            ),
            *("vehicle on stands", "car on stands", "below", "from below", "underneath"),
        ),
        "lift": (
            "lift",
            "on the lift",
            "on lift",
            "two post lift",
            "hoist",
            "on hoist",
            "lifted",
        ),
        "ground": ("ground", "on ground", "floor", "on the floor"),
        "bench": ("bench", "on a bench", "on bench", "workbench", "engine stand"),
    },
    HEIGHT_TEXT,
)
"""What the column `height` may say -> the height."""
OWNERS = _by_word(
    {
        "vehicle": ("vehicle", "car", "chassis", "body"),
        "old engine": ("old engine", "engine out", "outgoing engine"),
        "new engine": ("new engine", "engine in", "incoming engine"),
        "gearbox": ("gearbox", "transmission"),
        "subframe": ("subframe", "cradle"),
        "part": ("part", "another part"),
    }
)
"""What the column `owner` may say -> whose it is."""
SIDES = _by_word(
    {
        ON_BEFORE: ("on before", "before", "before it goes in", "on before it goes in"),
        STAYS_OFF: ("stays off", "after", "once it is in", "stays off until it is in"),
    }
)
"""What the column `side` may say -> against which side of the lift's rule a thing goes back."""
DIRECTIONS = _by_word(
    {
        "both": ("both", "both ways", "both directions", "two way"),
        "off_only": ("off only", "off", "removal", "removal only", "remove", "remove only", "taking off"),
        "on_only": (
            *("on only", "on", "installation", "installation only", "install", "install only"),
            *("refit", "refit only", "fitting", "putting back"),
        ),
    }
)
"""What the column `direction` may say -> the direction."""
DESTINIES = _by_word(
    {
        "refit": ("refit", "reuse", "re use", "as is", "refit as is", "clean and refit"),
        "transfer": ("transfer", "transfer to the new engine", "transfer to new engine", "to the new engine"),
        "replaced": (
            *("replace", "renew", "renewed", "new", "replaced by", "replaced by new"),
            *("replace with new", "replaced with new"),
        ),
        "left_out": ("leave out", "leave off", "left off", "omit", "omitted"),
        "stays_on_old": (
            *("stays on old", "stay on old", "stays on old engine"),
            *("stay on old engine", "stay on the old engine"),
        ),
        "undecided": ("to decide", "not decided"),
    },
    DESTINY_TEXT,
)
"""What the column `disposition` may say -> the destiny."""
ONE_TIME = _by_word(
    {
        "yes": ("yes", "y", "true", "t", "1", "x", "\u2713", "\u2714", "once", "new"),
        "no": ("no", "n", "false", "f", "0", "reuse", "reusable"),
        "unknown": ("unknown", "not known", "?"),
    }
)
"""What the column `one_time` may say -> whether it is used once only."""

_LINES = {
    **{f"{runs} line": (runs,) for runs in ("vacuum", "fuel", "brake", "hydraulic", "refrigerant")},
    "coolant hose": ("coolant", "radiator", "heater"),
    "oil or breather line": ("oil", "breather", "evap"),
}
KIND_WORDS: Mapping[str, tuple[Kind, str]] = {
    **dict.fromkeys(("bolt", "screw", "cap screw", "capscrew"), (Kind.FASTENER, "")),
    **{word: (Kind.FASTENER, word) for word in ("nut", "stud")},
    **dict.fromkeys(("clamp", "hose clamp"), (Kind.FASTENER, "clamp")),
    **dict.fromkeys(
        ("connector", "plug", "wire", "electrical connector", "electrical"),
        (Kind.CONNECTION, "electrical connector"),
    ),
    **dict.fromkeys(("strap", "ground strap", "earth strap"), (Kind.CONNECTION, "ground strap")),
    **{word: (Kind.CONNECTION, word) for word in ("hose", "line", "cable", "pipe")},
    **{
        f"{runs} {word}": (Kind.CONNECTION, item_type)
        for item_type, run in _LINES.items()
        for runs in run
        for word in ("line", "hose", "pipe")
    },
    **{f"{item_type} cable": (Kind.CONNECTION, f"{item_type} cable") for item_type in ("battery", "control")},
    **dict.fromkeys(("air duct", "duct"), (Kind.CONNECTION, "air duct")),
    **{word: (Kind.CONNECTION, word) for word in ("linkage", "shaft")},
    **dict.fromkeys(
        (
            *("gasket", "seal", "component", "assembly", "harness", "wiring harness", "bracket", "cover"),
            *("o ring", "washer", "sensor", "pulley", "belt", "pump", "shield", "bearing", "housing"),
        ),
        (Kind.PART, ""),
    ),
    **{
        word: (Kind.LOCATOR, word)
        for word in (
            *("dowel", "dowel pin", "shim", "spacer", "clip", "tie", "cable tie", "key", "pin"),
            *("cotter pin", "split pin", "circlip", "snap ring", "pilot bearing"),
        )
    },
    **{word: (Kind.TEMPORARY, word) for word in ("cap", "rag", "locking pin", "prop", "lifting eye")},
    **{word: (Kind.FLUID, word) for word in ("oil", "engine oil", "coolant", "gearbox oil", "brake fluid")},
}
"""Words of the trade that the column `kind` takes beside the kinds -> the kind and its type."""


def kind_named(word: str) -> tuple[Kind, str] | None:
    """Return the kind, and the type, that a word of the column `kind` stands for; nothing where it is none.

    One or several, or as a group: `bolt`, `Bolts`, `fastener group`; of `bolts and nuts` the first counts.
    """
    plain = re.sub(r"[\s_-]+", " ", word).strip().lower()
    first = re.split(r" ?[/&+] ?| and ", plain)[0]
    for said in (plain, first, *(re.sub(r" ?groups?$", "", name) for name in (plain, first))):
        for name in (said, said.removesuffix("s"), said.removesuffix("ies") + "y"):
            if name in KIND_WORDS:
                return KIND_WORDS[name]
            kind = next((kind for kind in Kind if kind.value == name), None)
            if kind:
                return kind, ""
    return None
