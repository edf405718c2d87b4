"""Relays: nodes that only carry a link on, where the nodes of a cover stand too far apart.

This step is heuristic: part by part the nearest two are joined by a straight chain of free cells.
It uses few relays, but nothing proves that there could not be fewer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set

from loopwright.grid import Cell
from loopwright.layout.power.tree import Groups, parts_of, shortest_links, squared


def with_relays(nodes: Sequence[Cell], free: Set[Cell], span: int) -> tuple[Cell, ...]:
    """Cells of relays with which links of at most `span` cells join `nodes`.

    Where no free cell leads on, parts stay apart.
    """
    relays: list[Cell] = []
    while True:
        cells = [*nodes, *relays]
        parts = parts_of(len(cells), shortest_links(cells, span))
        chains = _joined(cells, parts, free, span)
        relays += chains
        if not chains:
            return tuple(relays)


def _joined(
    cells: Sequence[Cell], parts: Sequence[Sequence[int]], free: Set[Cell], span: int
) -> list[Cell]:
    """Chains from each part but the largest to what is nearest to it, each part once."""
    owner = {cells[number]: index for index, part in enumerate(parts) for number in part}
    groups = Groups(len(parts))
    tiles = Tiles(cells, span)
    found: list[Cell] = []
    for part in sorted(parts, key=len)[: len(parts) - 1]:
        inside = frozenset(cells[number] for number in part)
        one, other = tiles.nearest(inside)
        if groups.of(owner[one]) == groups.of(owner[other]):
            continue
        chain = _chain(one, other, free - owner.keys() - set(found), span)
        if chain:
            groups.join(owner[one], owner[other])
            found += chain
    return found


class Tiles:
    """Cells by squares of the site, so that near ones are found quickly."""

    def __init__(self, cells: Sequence[Cell], side: int) -> None:
        self.side = side
        self.cells: dict[tuple[int, int], list[Cell]] = {}
        for cell in cells:
            self.cells.setdefault((cell.x // side, cell.y // side), []).append(cell)
        xs, ys = zip(*self.cells, strict=True) if self.cells else ((0,), (0,))
        self.width = max(max(xs) - min(xs), max(ys) - min(ys)) + 1

    def nearest(self, inside: Set[Cell]) -> tuple[Cell, Cell]:
        """The nearest pair of a cell inside and one that is not; of equal ones the first, by row.

        There must be a cell that is not inside.
        """
        best: tuple[int, int, int, int, int] | None = None
        for one in inside:
            for ring in range(self.width + 1):
                # a cell of this ring or beyond is at least that far away
                if best is not None and ((ring - 1) * self.side) ** 2 > best[0] and ring > 1:
                    break
                for other in self._ring(one, ring):
                    if other not in inside:
                        rank = (squared(one, other), one.y, one.x, other.y, other.x)
                        best = rank if best is None else min(best, rank)
        assert best is not None
        return Cell(best[2], best[1]), Cell(best[4], best[3])

    def _ring(self, cell: Cell, ring: int) -> Iterator[Cell]:
        x, y = cell.x // self.side, cell.y // self.side
        for dx in range(-ring, ring + 1):
            rows = range(-ring, ring + 1) if abs(dx) == ring else {-ring, ring}
            for dy in rows:
                yield from self.cells.get((x + dx, y + dy), ())


def _chain(one: Cell, other: Cell, free: Set[Cell], span: int) -> list[Cell]:
    """Free cells from `one` to `other`, each within `span` of the next; empty where stuck."""
    chain: list[Cell] = []
    here = one
    while squared(here, other) > span * span:
        reach = squared(here, other)
        steps = (
            Cell(here.x + dx, here.y + dy)
            for dy in range(-span, span + 1)
            for dx in range(-span, span + 1)
            if dx * dx + dy * dy <= span * span
        )
        ahead = [
            (squared(cell, other), cell.y, cell.x)
            for cell in steps
            if cell in free and squared(cell, other) < reach
        ]
        if not ahead:
            return []
        _, y, x = min(ahead)
        here = Cell(x, y)
        chain.append(here)
    return chain
