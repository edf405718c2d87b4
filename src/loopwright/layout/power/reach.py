"""What a power node reaches: a square or a disc of cells round its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loopwright.grid import Box, Cell


@dataclass(frozen=True, slots=True)
class Reach:
    """A square of `cover` x `cover` cells, or a disc of `cover` cells across, round the node.

    A square of an even side reaches one cell further to the east and to the south. A disc holds
    the cells whose middle is at most half of `cover` away from the middle of the node's cell. A
    device is reached when one cell that it stands on is.
    """

    shape: str
    cover: int

    @property
    def back(self) -> int:
        """How far it goes to the west and to the north of the node [cells]."""
        return (self.cover - 1) // 2 if self.shape == "square" else self.cover // 2

    @property
    def forth(self) -> int:
        """How far it goes to the east and to the south of the node [cells]."""
        return self.cover // 2

    def holds(self, node: Cell, box: Box) -> bool:
        """Whether a node on the cell `node` reaches a device that stands on `box`."""
        x = min(max(node.x, box.x), box.x + box.width - 1)
        y = min(max(node.y, box.y), box.y + box.height - 1)
        dx, dy = x - node.x, y - node.y
        if self.shape == "round":
            return 4 * (dx * dx + dy * dy) <= self.cover * self.cover
        return -self.back <= dx <= self.forth and -self.back <= dy <= self.forth

    def steps_to(self, width: int, height: int) -> Iterator[tuple[int, int]]:
        """(dx, dy) from the north-west cell of a device of that size to each node's cell that
        reaches it."""
        box = Box(0, 0, width, height)
        for dy in range(-self.forth, height + self.back):
            for dx in range(-self.forth, width + self.back):
                if self.shape == "square" or self.holds(Cell(dx, dy), box):
                    yield dx, dy
