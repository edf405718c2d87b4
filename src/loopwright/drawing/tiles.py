"""Where a drawing is cut into parts: where the least is cut through."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

from loopwright.grid import Box
from loopwright.layout.footprint import occupied_cells
from loopwright.layout.layout import Layout


def cut_points(layout: Layout, shown: Box, most: tuple[int, int]) -> tuple[list[int], list[int]]:
    """Columns and rows at which parts of at most `most` cells begin, and the last one's end.

    A cut goes where the fewest cells with something on them lie on both its sides.
    """
    taken = {(cell.x, cell.y) for cell in occupied_cells(layout)}
    columns = Counter(x for x, y in taken if (x - 1, y) in taken)
    rows = Counter(y for x, y in taken if (x, y - 1) in taken)
    return (
        _cuts(shown.x, shown.width, most[0], columns),
        _cuts(shown.y, shown.height, most[1], rows),
    )


def _cuts(start: int, length: int, most: int, price: Counter[int]) -> list[int]:
    """`start`, the cuts and the end: as few parts as can be, of sizes that differ little."""
    most = max(4, most)
    end = start + length
    found = [start]
    while (left := end - found[-1]) > most:
        parts = -(-left // most)
        furthest = found[-1] + most
        nearest = max(end - (parts - 1) * most, found[-1] + most // 2)
        even = found[-1] + left // parts
        cuts = range(nearest, furthest + 1)
        found.append(min(cuts, key=lambda cut: (price[cut], abs(cut - even))))
    return [*found, end]


def tile_boxes(shown: Box, cuts: tuple[list[int], list[int]]) -> list[Box]:
    """The parts, row by row from the north-west."""
    columns, rows = cuts
    return [
        Box(x, y, right - x, bottom - y)
        for y, bottom in pairwise(rows)
        for x, right in pairwise(columns)
    ]
