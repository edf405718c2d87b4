"""A place on the site."""

from __future__ import annotations

from typing import NamedTuple

from loopwright.grid.heading import Heading


class Cell(NamedTuple):
    """Column `x` grows to the east, row `y` to the south; `level` 0 is the floor [cells]."""

    x: int
    y: int
    level: int = 0

    def step(self, heading: Heading, count: int = 1) -> Cell:
        """The cell `count` cells further along `heading`, on the same level."""
        dx, dy = heading.vector
        return Cell(self.x + dx * count, self.y + dy * count, self.level)

    def at_level(self, level: int) -> Cell:
        """The same place on another level."""
        return Cell(self.x, self.y, level)
