"""Cells where a power node may stand."""

from __future__ import annotations

from loopwright.grid import Cell, Heading
from loopwright.grid.path import heading_between
from loopwright.layout.footprint import footprints
from loopwright.layout.layout import Belt, Layout

APPROACH = 2
"""Cells before a dock that are kept free for what comes and goes there."""


def free_cells(layout: Layout, margin: int = 0) -> set[Cell]:
    """Cells of the floor with nothing on or above them, `margin` cells inside the site's edge."""
    taken = {(cell.x, cell.y, 0) for _, cell in footprints(layout)}
    taken |= {(cell.x, cell.y, 0) for cell in _approaches(layout)}
    spots = {
        (x, y, 0)
        for y in range(margin, layout.height - margin)
        for x in range(margin, layout.width - margin)
    }
    return {Cell(x, y) for x, y, _ in spots - taken}


def _approaches(layout: Layout) -> set[Cell]:
    """The cells before each dock, on the side away from its belt."""
    belts = {belt.name: belt for belt in layout.belts if len(belt.path) > 1}
    found: set[Cell] = set()
    for source in layout.sources:
        heading = _way(belts.get(source.belt), 0)
        if heading is not None:
            found.update(source.at.step(heading.reverse, step + 1) for step in range(APPROACH))
    for drain in layout.drains:
        heading = _way(belts.get(drain.belt), -2)
        if heading is not None:
            found.update(drain.at.step(heading, step + 1) for step in range(APPROACH))
    return found


def _way(belt: Belt | None, index: int) -> Heading | None:
    if belt is None:
        return None
    one, other = belt.path[index], belt.path[index + 1]
    return heading_between(one.at_level(0), other.at_level(0))
