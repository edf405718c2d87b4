"""A rectangle of cells."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from loopwright.grid.cell import Cell


class Box(NamedTuple):
    """Cells with x in [x, x + width) and y in [y, y + height), on the floor [cells]."""

    x: int
    y: int
    width: int
    height: int

    def cells(self) -> Iterator[Cell]:
        """All cells, row by row."""
        for y in range(self.y, self.y + self.height):
            for x in range(self.x, self.x + self.width):
                yield Cell(x, y)

    def holds(self, cell: Cell) -> bool:
        """Whether the box covers the place of `cell`, on whatever level."""
        inside_x = self.x <= cell.x < self.x + self.width
        return inside_x and self.y <= cell.y < self.y + self.height

    def overlaps(self, other: Box) -> bool:
        """Whether the two boxes share a cell."""
        apart_x = self.x + self.width <= other.x or other.x + other.width <= self.x
        apart_y = self.y + self.height <= other.y or other.y + other.height <= self.y
        return not (apart_x or apart_y)

    def union(self, other: Box) -> Box:
        """The smallest box that covers both."""
        x, y = min(self.x, other.x), min(self.y, other.y)
        right = max(self.x + self.width, other.x + other.width)
        bottom = max(self.y + self.height, other.y + other.height)
        return Box(x, y, right - x, bottom - y)
