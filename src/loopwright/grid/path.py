"""Chains of cells: what a belt stands on."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from loopwright.grid.cell import Cell
from loopwright.grid.heading import Heading

_BY_VECTOR = {heading.vector: heading for heading in Heading}


def run_of(start: Cell, heading: Heading, count: int) -> tuple[Cell, ...]:
    """`count` cells in a line from `start` along `heading`."""
    return tuple(start.step(heading, index) for index in range(count))


def heading_between(one: Cell, other: Cell) -> Heading | None:
    """Direction from `one` to its neighbour `other`; None where they are no neighbours.

    A step may go up or down one level at the same time.
    """
    if abs(one.level - other.level) > 1:
        return None
    return _BY_VECTOR.get((other.x - one.x, other.y - one.y))


def is_connected(path: Sequence[Cell]) -> bool:
    """Whether each cell of `path` is a neighbour of the one before it."""
    return all(heading_between(a, b) is not None for a, b in pairwise(path))


def headings(path: Sequence[Cell]) -> tuple[Heading, ...]:
    """Direction of travel at each cell of a connected path; the last repeats the one before.

    Raises
    ------
    ValueError
        The path has fewer than two cells or is not connected.
    """
    found = [heading_between(a, b) for a, b in pairwise(path)]
    known = [heading for heading in found if heading is not None]
    if not found or len(known) != len(found):
        raise ValueError("a path needs two cells or more, each a neighbour of the one before")
    return (*known, known[-1])
