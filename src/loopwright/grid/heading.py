"""The four directions of the grid."""

from __future__ import annotations

from enum import Enum


class Heading(Enum):
    """A direction of travel; north is up on every drawing."""

    EAST = "east"
    SOUTH = "south"
    WEST = "west"
    NORTH = "north"

    @property
    def vector(self) -> tuple[int, int]:
        """Unit step (dx, dy) [cells]."""
        return _VECTORS[self]

    @property
    def reverse(self) -> Heading:
        """The opposite direction."""
        return _REVERSE[self]

    @property
    def left(self) -> Heading:
        """A quarter turn to the left."""
        return _LEFT[self]

    @property
    def right(self) -> Heading:
        """A quarter turn to the right."""
        return _LEFT[self].reverse


_VECTORS = {
    Heading.EAST: (1, 0),
    Heading.SOUTH: (0, 1),
    Heading.WEST: (-1, 0),
    Heading.NORTH: (0, -1),
}
_REVERSE = {
    Heading.EAST: Heading.WEST,
    Heading.WEST: Heading.EAST,
    Heading.NORTH: Heading.SOUTH,
    Heading.SOUTH: Heading.NORTH,
}
_LEFT = {
    Heading.EAST: Heading.NORTH,
    Heading.NORTH: Heading.WEST,
    Heading.WEST: Heading.SOUTH,
    Heading.SOUTH: Heading.EAST,
}
