"""What stands where, as far as a belt on its way must know."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from loopwright.grid import Box, Cell


@dataclass(slots=True)
class Grid:
    """The places of an area as whole numbers, row by row with a rim round it: `blocked` says of
    each whether it is solid or on the rim. `steps` holds, of each goal asked for, the steps to it
    from all places, -1 where no way leads."""

    corner: Cell
    pitch: int
    blocked: bytes
    steps: dict[int, list[int]]

    @classmethod
    def of(cls, area: Box, solid: Iterable[Cell]) -> Grid:
        """The grid of `area`, with `solid` cells."""
        pitch = area.width + 2
        blocked = bytearray(b"\x01") * (pitch * (area.height + 2))
        for row in range(1, area.height + 1):
            blocked[row * pitch + 1 : row * pitch + 1 + area.width] = bytes(area.width)
        grid = cls(Cell(area.x - 1, area.y - 1), pitch, b"", {})
        for cell in solid:
            if area.holds(cell):
                blocked[grid.place(cell)] = 1
        grid.blocked = bytes(blocked)
        return grid

    def place(self, cell: Cell) -> int:
        """The number of a cell's place."""
        return (cell.y - self.corner.y) * self.pitch + cell.x - self.corner.x

    def cell(self, place: int, level: int) -> Cell:
        """The cell of a place."""
        y, x = divmod(place, self.pitch)
        return Cell(x + self.corner.x, y + self.corner.y, level)

    def steps_to(self, goal: int) -> list[int]:
        """Steps to `goal` from each place, if no belt were in the way: no belt is shorter."""
        if goal in self.steps:
            return self.steps[goal]
        found = [-1] * len(self.blocked)
        found[goal] = count = 0
        edge = [goal]
        while edge:
            count += 1
            after = []
            for place in edge:
                for other in (place + 1, place - 1, place + self.pitch, place - self.pitch):
                    if found[other] < 0 and not self.blocked[other]:
                        found[other] = count
                        after.append(other)
            edge = after
        self.steps[goal] = found
        return found


@dataclass(slots=True)
class Ground:
    """The part of the site in which belts may be laid.

    `solid` cells (floor) can be neither passed nor crossed; `belts` are cells of belts that lie
    already, on their levels, which a bridge crosses. `span` [cells] is the longest bridge. Once
    ways are looked for, `area` and `solid` stay as they are.
    """

    area: Box
    span: int
    solid: set[Cell] = field(default_factory=set)
    belts: set[Cell] = field(default_factory=set)
    grids: list[Grid] = field(default_factory=list, compare=False)

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

    def grid(self) -> Grid:
        """The places of the area; drawn up once."""
        if not self.grids:
            self.grids.append(Grid.of(self.area, self.solid))
        return self.grids[0]
