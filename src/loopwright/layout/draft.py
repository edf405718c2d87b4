"""A layout while it is being drawn."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from loopwright.layout.layout import (
    Belt,
    Divert,
    Drain,
    Gate,
    Layout,
    Merge,
    Picker,
    SideMerge,
    Source,
    Station,
    Store,
)
from loopwright.layout.order import natural_key

Device = Belt | Source | Drain | Merge | SideMerge | Divert | Gate | Station | Store | Picker

_FIELDS: dict[type[Device], str] = {
    Belt: "belts",
    Source: "sources",
    Drain: "drains",
    Merge: "merges",
    SideMerge: "side_merges",
    Divert: "diverts",
    Gate: "gates",
    Station: "stations",
    Store: "stores",
    Picker: "pickers",
}


@dataclass(slots=True)
class Draft:
    """Devices in the order in which they were drawn."""

    devices: list[Device] = field(default_factory=list)

    def add(self, *devices: Device) -> None:
        """Draw more devices."""
        self.devices.extend(devices)

    def extend(self, devices: Iterable[Device]) -> None:
        """Draw all of `devices`."""
        self.devices.extend(devices)

    def freeze(self, empty: Layout) -> Layout:
        """`empty` (a layout without devices) with all devices, each kind in natural order."""
        kinds: dict[str, list[Device]] = {name: [] for name in _FIELDS.values()}
        for device in sorted(self.devices, key=lambda device: natural_key(device.name)):
            kinds[_FIELDS[type(device)]].append(device)
        return replace(empty, **{name: tuple(found) for name, found in kinds.items()})
