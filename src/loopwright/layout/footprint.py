"""The cells that everything stands on."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from loopwright.grid import Box, Cell
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


def standing(layout: Layout) -> tuple[Standing, ...]:
    """Everything that stands on cells of its own."""
    return (
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


def footprints(layout: Layout) -> Iterator[tuple[str, Cell]]:
    """Every cell that something stands on, with its name."""
    for device in standing(layout):
        for cell in device_cells(device):
            yield device.name, cell
    for box in layout.obstacles:
        for cell in box.cells():
            yield "an obstacle", cell
            yield "an obstacle", cell.at_level(1)


def occupied_cells(layout: Layout) -> set[Cell]:
    """All cells of the floor on or over which something stands, obstacles left out."""
    return {cell.at_level(0) for device in standing(layout) for cell in device_cells(device)}


def built_box(occupied: Collection[Cell]) -> Box:
    """The smallest box round `occupied`, which must not be empty."""
    xs, ys = sorted(cell.x for cell in occupied), sorted(cell.y for cell in occupied)
    return Box(xs[0], ys[0], xs[-1] - xs[0] + 1, ys[-1] - ys[0] + 1)
