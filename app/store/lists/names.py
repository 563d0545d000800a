"""The zones and places that a list names: found in the build, or noted as new."""

import re

from app.core.builds.snapshot import Snapshot
from app.store.db.clock import new_id
from app.store.plan.builds import LAYOUTS, layout

_LEVEL = re.compile(r"(.+?)\s*\((above|below)\)", re.IGNORECASE)


class Zones:
    """Finds zones by their key or label, in either side's words; what is not there is new."""

    def __init__(self, build: Snapshot) -> None:
        self.new: dict[str, tuple[str, str]] = {}
        self._ids = {zone.label.casefold(): zone.id for zone in reversed(build.zones)}
        by_key = {zone.key: zone.id for zone in build.zones if zone.key}
        known = {name: by_key[key] for name, key in _names(build.layout).items() if key in by_key}
        self._ids |= known

    def id_of(self, label: str) -> str:
        """Return the id of a zone; empty for no label."""
        if not label or label.casefold() in self._ids:
            return self._ids.get(label.casefold(), "")
        named = _LEVEL.fullmatch(label)
        name, level = (named[1], named[2].lower()) if named else (label, "above")
        if name.casefold() not in self._ids:
            self._ids[name.casefold()] = new_id()
            self.new[self._ids[name.casefold()]] = (name, level)
        self._ids[label.casefold()] = self._ids[name.casefold()]
        return self._ids[label.casefold()]


def _names(layout_key: str) -> dict[str, str]:
    """Return what the zones of a layout are called, in small letters -> their keys."""
    return {
        name.casefold(): zone["key"]
        for zone in layout(layout_key)["zones"]
        for name in (zone["key"], zone["key"].replace("_", " "), *zone["label"].values())
    }


def fitting_layout(labels: list[str], otherwise: str) -> str:
    """Return the layout that knows most of some zones; the other one where none knows more."""
    plain = {label.casefold() for label in labels}
    return max((otherwise, *LAYOUTS), key=lambda key: len(plain & _names(key).keys()))


class Places:
    """Finds places by their name and by what they stand in; what is not there is new."""

    def __init__(self, build: Snapshot) -> None:
        self.new: dict[str, tuple[tuple[str, ...], str]] = {}
        self._ids: dict[tuple[str, ...], str] = {}
        for place_id in reversed(list(build.places)):
            path = build.place_path(place_id)
            self._ids |= {path[:length]: place_id for length in range(1, len(path) + 1)}

    def id_of(self, path: tuple[str, ...]) -> str:
        """Return the id of a place, from a bag outward; empty for none."""
        if not path or path in self._ids:
            return self._ids.get(path, "")
        parent = self.id_of(path[1:])
        made = new_id()
        self.new[made] = (path, parent)
        self._ids[path] = made
        self._ids.setdefault(path[:1], made)
        return made
