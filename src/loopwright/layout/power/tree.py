"""Links: the shortest set that joins all nodes that can be joined.

Lengths are compared by their squares, which are whole numbers; so no length is ever rounded.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from math import isqrt

from loopwright.grid import Cell

Link = tuple[int, int]
"""Numbers of the two nodes, the smaller one first."""


def squared(one: Cell, other: Cell) -> int:
    """The square of the distance between the middles of two cells [cells^2]."""
    return (one.x - other.x) ** 2 + (one.y - other.y) ** 2


class Groups:
    """Sets of numbers that are joined bit by bit."""

    def __init__(self, count: int) -> None:
        self.leader = list(range(count))

    def of(self, number: int) -> int:
        """The number that stands for the set of `number`."""
        while self.leader[number] != number:
            self.leader[number] = self.leader[self.leader[number]]
            number = self.leader[number]
        return number

    def join(self, one: int, other: int) -> bool:
        """Make one set of two; False where they are one already."""
        first, second = sorted((self.of(one), self.of(other)))
        self.leader[second] = first
        return first != second


def near_pairs(cells: Sequence[Cell], span: int) -> Iterator[tuple[int, int, int]]:
    """(squared distance, one, other) of all pairs at most `span` apart."""
    tiles: dict[tuple[int, int], list[int]] = defaultdict(list)
    for number, cell in enumerate(cells):
        tiles[cell.x // span, cell.y // span].append(number)
    for (x, y), inside in tiles.items():
        beside = [
            other
            for dx, dy in ((0, 0), (1, -1), (1, 0), (1, 1), (0, 1))
            for other in tiles.get((x + dx, y + dy), ())
        ]
        own = set(inside)
        for one in inside:
            for other in beside:
                if other in own and other <= one:
                    continue
                distance = squared(cells[one], cells[other])
                if distance <= span * span:
                    yield distance, min(one, other), max(one, other)


def shortest_links(cells: Sequence[Cell], span: int) -> tuple[Link, ...]:
    """A minimum spanning tree of each part that links of at most `span` cells can join.

    J. B. Kruskal, On the shortest spanning subtree of a graph, Proceedings of the American
    Mathematical Society 7 (1956), 48-50. Of equal links the one of the first nodes goes first.
    """
    groups = Groups(len(cells))
    chosen = [
        (one, other) for _, one, other in sorted(near_pairs(cells, span)) if groups.join(one, other)
    ]
    return tuple(sorted(chosen))


def parts_of(count: int, links: Sequence[Link]) -> list[list[int]]:
    """The sets of nodes that `links` hold together, in the order of their first nodes."""
    groups = Groups(count)
    for one, other in links:
        groups.join(one, other)
    found: dict[int, list[int]] = defaultdict(list)
    for number in range(count):
        found[groups.of(number)].append(number)
    return list(found.values())


def length_hundredths(one: Cell, other: Cell) -> int:
    """The distance between the middles of two cells, rounded up [1/100 cell]."""
    square = 10_000 * squared(one, other)
    root = isqrt(square)
    return root if root * root == square else root + 1
