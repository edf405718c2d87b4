"""What stands where, as far as a belt on its way must know."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from loopwright.grid import Box, Cell


@dataclass(slots=True)
class Ground:
    """The part of the site in which belts may be laid.

    `solid` cells (floor) can be neither passed nor crossed; `belts` are cells of belts that lie
    already, on their levels, which a bridge crosses. `span` [cells] is the longest bridge.
    """

    area: Box
    span: int
    solid: set[Cell] = field(default_factory=set)
    belts: set[Cell] = field(default_factory=set)

    def free(self, cell: Cell) -> bool:
        """Whether a belt may be laid on `cell`, on its level."""
        floor = cell.at_level(0)
        return self.area.holds(cell) and floor not in self.solid and cell not in self.belts

    def lay(self, path: Iterable[Cell]) -> None:
        """Lay a belt: later ones cross it."""
        self.belts.update(path)

    def lift(self, path: Iterable[Cell]) -> None:
        """Take a belt away again."""
        self.belts.difference_update(path)
