"""Slow twin of power cover and links: every choice of cells is tried, every link is looked at.

A node on (x, y) with a square of side s reaches the cells from x - (s - 1) // 2 to x + s // 2, and
so in y; with a disc of s across, those whose middle is at most s / 2 away.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

Spot = tuple[int, int]
Box = tuple[int, int, int, int]


def reaches(node: Spot, box: Box, shape: str, cover: int) -> bool:
    """Whether one cell of `box` (x, y, width, height) is reached."""
    x, y, width, height = box
    for at_x in range(x, x + width):
        for at_y in range(y, y + height):
            dx, dy = at_x - node[0], at_y - node[1]
            if shape == "round":
                if 4 * (dx * dx + dy * dy) <= cover * cover:
                    return True
            elif all(-((cover - 1) // 2) <= step <= cover // 2 for step in (dx, dy)):
                return True
    return False


def fewest_nodes(boxes: Sequence[Box], free: Sequence[Spot], shape: str, cover: int) -> int | None:
    """The fewest cells of `free` that reach all boxes; None where all of them do not."""
    reached = [
        frozenset(n for n, box in enumerate(boxes) if reaches(spot, box, shape, cover))
        for spot in free
    ]
    for count in range(len(free) + 1):
        for chosen in combinations(reached, count):
            if len(frozenset().union(*chosen)) == len(boxes):
                return count
    return None


def tree_square_lengths(nodes: Sequence[Spot], span: int) -> list[int] | None:
    """Squared lengths of a minimum spanning tree, shortest first; None where none joins all.

    R. C. Prim, Shortest connection networks and some generalizations, Bell System Technical Journal
    36 (1957), 1389-1401: the tree grows from one node by its shortest link to another one.
    """
    if not nodes:
        return []
    inside, outside = [nodes[0]], list(nodes[1:])
    found = []
    while outside:
        best = min(
            ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2, outside.index(b))
            for a in inside
            for b in outside
        )
        if best[0] > span * span:
            return None
        found.append(best[0])
        inside.append(outside.pop(best[1]))
    return sorted(found)
