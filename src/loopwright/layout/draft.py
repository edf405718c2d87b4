"""A layout while it is being drawn."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TypeVar

from loopwright.layout.layout import (
    Applicator,
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
from loopwright.layout.supply.entry import Entry

Device = (
    Belt
    | Source
    | Drain
    | Merge
    | SideMerge
    | Divert
    | Gate
    | Station
    | Store
    | Picker
    | Applicator
)
Kind = TypeVar("Kind", bound=Device)


@dataclass(slots=True)
class Draft:
    """Devices in the order in which they were drawn, and the entries of the rows among them."""

    devices: list[Device] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)

    def add(self, *devices: Device) -> None:
        """Draw more devices."""
        self.devices.extend(devices)

    def freeze(self, empty: Layout) -> Layout:
        """`empty` (a layout without devices) with all devices, each kind in natural order."""
        return replace(
            empty,
            belts=self._of(Belt),
            sources=self._of(Source),
            drains=self._of(Drain),
            merges=self._of(Merge),
            side_merges=self._of(SideMerge),
            diverts=self._of(Divert),
            gates=self._of(Gate),
            stations=self._of(Station),
            stores=self._of(Store),
            pickers=self._of(Picker),
            applicators=self._of(Applicator),
        )

    def _of(self, kind: type[Kind]) -> tuple[Kind, ...]:
        found = [device for device in self.devices if isinstance(device, kind)]
        return tuple(sorted(found, key=lambda device: natural_key(device.name)))
