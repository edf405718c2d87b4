"""The cells that everything stands on."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.grid import Box, Cell
from loopwright.layout.layout import Layout


def footprints(layout: Layout) -> Iterator[tuple[str, Cell]]:
    """Every cell that something stands on. Merges and diverts stand on cells of their belts."""
    for belt in layout.belts:
        for cell in belt.path:
            yield belt.name, cell
    points = [(source.name, source.at) for source in layout.sources]
    points += [(drain.name, drain.at) for drain in layout.drains]
    points += [(picker.name, picker.at) for picker in layout.pickers]
    points += [(node.name, node.at) for node in layout.power_nodes]
    yield from points
    boxes: list[tuple[str, Box]] = [(d.name, d.box) for d in layout.stations]
    boxes += [(d.name, d.box) for d in layout.stores] + [(d.name, d.box) for d in layout.gates]
    for name, box in boxes:
        for cell in box.cells():
            yield name, cell
    for box in layout.obstacles:
        for cell in box.cells():
            yield "an obstacle", cell
            yield "an obstacle", cell.at_level(1)
