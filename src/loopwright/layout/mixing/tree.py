"""The tree of a mixer on rows and columns of cells.

Leaves lie side by side, a row of cells each; a merge stands two cells further on than the merges
before it, on the row of its first inlet of two or its middle one of three. The others come to it
along its own column. So the belts of one subtree stay within its rows, and no belts cross.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loopwright.block.mixer import Leaf, Mixer, Node
from loopwright.grid import Cell

STEP = 2
"""Columns from a merge to those before it [cells]."""


@dataclass(frozen=True, slots=True)
class Seat:
    """Where a leaf lies: `row` of cells from its lane to the column `u` of its merge, which stands
    on the row `merge`. `material` is None where it is fed back."""

    material: str | None
    row: int
    u: int
    merge: int

    def way(self, x: int) -> tuple[Cell, ...]:
        """Cells from column `x` to the one before the merge."""
        return way_to(x, self.row, self.u, self.merge)


def way_to(x: int, row: int, u: int, merge: int) -> tuple[Cell, ...]:
    """Cells from column `x` along `row`, then along column `u`, to the merge there on row `merge`,
    which is left out."""
    step = 1 if merge > row else -1
    along = tuple(Cell(column, row) for column in range(x, u + (row != merge)))
    return (*along, *(Cell(u, across) for across in range(row + step, merge, step)))


def count_of(tree: Node | Leaf) -> int:
    """Leaves of `tree`."""
    return 1 if isinstance(tree, Leaf) else sum(map(count_of, tree.inlets))


def row_of(tree: Node | Leaf, first: int) -> int:
    """The row of the outlet of `tree`, if its first leaf lies on row `first`."""
    if isinstance(tree, Leaf):
        return first
    beside = 1 if len(tree.inlets) > 2 else 0
    return row_of(tree.inlets[beside], firsts_of(tree, first)[beside])


def firsts_of(node: Node, first: int) -> list[int]:
    """The row of the first leaf of each inlet."""
    found = []
    for inlet in node.inlets:
        found.append(first)
        first += count_of(inlet)
    return found


def seats_of(mixer: Mixer, root: int) -> tuple[Seat, ...]:
    """Where the leaves lie if the root's merge stands at column `root`, by row from 0 on."""
    return tuple(_seats(mixer.root, 0, root))


def _seats(node: Node, first: int, u: int) -> Iterator[Seat]:
    here = row_of(node, first)
    for inlet, begin in zip(node.inlets, firsts_of(node, first), strict=True):
        if isinstance(inlet, Leaf):
            yield Seat(inlet.material, begin, u, here)
        else:
            yield from _seats(inlet, begin, u - STEP)
