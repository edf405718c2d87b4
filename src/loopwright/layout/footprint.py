"""The cells that everything stands on."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.grid import Cell
from loopwright.layout.layout import (
    Applicator,
    Belt,
    Drain,
    Gate,
    Layout,
    Picker,
    PowerNode,
    Source,
    Station,
    Store,
)

Standing = Belt | Source | Drain | Picker | Applicator | PowerNode | Station | Store | Gate
"""What stands on cells of its own; merges and diverts stand on cells of their belts."""


def device_cells(device: Standing) -> Iterator[Cell]:
    """Every cell that a device stands on."""
    if isinstance(device, Belt):
        yield from device.path
    elif isinstance(device, Station | Store | Gate):
        yield from device.box.cells()
    else:
        yield device.at


def footprints(layout: Layout) -> Iterator[tuple[str, Cell]]:
    """Every cell that something stands on."""
    devices: tuple[Standing, ...] = (
        *layout.belts,
        *layout.sources,
        *layout.drains,
        *layout.pickers,
        *layout.applicators,
        *layout.power_nodes,
        *layout.stations,
        *layout.stores,
        *layout.gates,
    )
    for device in devices:
        for cell in device_cells(device):
            yield device.name, cell
    for box in layout.obstacles:
        for cell in box.cells():
            yield "an obstacle", cell
            yield "an obstacle", cell.at_level(1)
