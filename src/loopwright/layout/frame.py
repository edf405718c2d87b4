"""Row coordinates: along the flow, and away from the output belt."""

from __future__ import annotations

from dataclasses import dataclass

from loopwright.grid import Box, Cell, Heading


@dataclass(frozen=True, slots=True)
class Frame:
    """Places a row on the site.

    `u` counts cells along the lane's flow from `origin`, `v` cells away from the output belt,
    which lies at v = 0. So one description of a row serves all four ways it can lie.
    """

    origin: Cell
    along: Heading
    away: Heading

    def cell(self, u: int, v: int, level: int = 0) -> Cell:
        """The cell at row coordinates (u, v)."""
        return self.origin.step(self.along, u).step(self.away, v).at_level(level)

    def line(self, first: int, last: int, v: int) -> tuple[Cell, ...]:
        """Cells from u = first to u = last, both included, in that order."""
        step = 1 if last >= first else -1
        return tuple(self.cell(u, v) for u in range(first, last + step, step))

    def box(self, u: int, v: int, length: int, depth: int) -> Box:
        """The rectangle of `length` along and `depth` away, with its near corner at (u, v)."""
        a, b = self.cell(u, v), self.cell(u + length - 1, v + depth - 1)
        x, y = min(a.x, b.x), min(a.y, b.y)
        return Box(x, y, abs(a.x - b.x) + 1, abs(a.y - b.y) + 1)
