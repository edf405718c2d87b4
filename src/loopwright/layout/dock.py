"""A dock of a row, which can be replaced by what brings its material from elsewhere."""

from __future__ import annotations

from loopwright.grid import Cell
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Source
from loopwright.layout.parts import Parts
from loopwright.layout.row import RowPlace
from loopwright.layout.supply.entry import Entry

SUPPLY_CELLS = 4
"""Length of the belt from a dock to what it supplies [cells]: room to see and to service it."""


def draw_dock(
    draft: Draft, row: RowPlace, material: str, at: Cell, belt: Belt, parts: Parts
) -> None:
    """`belt` and the dock at its tail, noted as an entry of the row."""
    dock = Source(f"{row.name} dock {material}", at, belt.name, material, parts.loads[material])
    inward = row.frame.away.reverse
    dx, dy = at.x - row.frame.origin.x, at.y - row.frame.origin.y
    depth = abs(dy if inward.vector[1] else dx)
    draft.add(belt, dock)
    draft.entries.append(Entry(row.name, row.stations, depth, inward, dock, belt))
