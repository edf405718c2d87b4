"""Dimension strings: a thin line with a slanted stroke at each measured edge, and lengths in m."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from loopwright.drawing.mark import CELL, Line, Mark, Point, Text


def metres_text(cells: int, cell_size: Fraction) -> str:
    """A length in m, exact where three decimals do."""
    metres = cells * cell_size
    if metres.denominator == 1:
        return str(metres.numerator)
    return f"{float(metres):.3f}".rstrip("0").rstrip(".")


def dimension_marks(
    edges: Sequence[int], at: float, toward: float, u: float, cell_size: Fraction, *, upright: bool
) -> Iterator[Mark]:
    """One string of dimensions through `edges` [cells], along y with `upright`, else along x.

    It lies at `at` across; help lines go from there towards `toward` [sheet units].
    """

    def point(along: float, across: float) -> Point:
        return (across, along) if upright else (along, across)

    if len(edges) < 2:
        return
    layer, tick = "dimensions", 0.32 * u
    way = 1 if toward > at else -1
    ends = [edge * CELL for edge in edges]
    yield Line((point(ends[0] - tick, at), point(ends[-1] + tick, at)), "soft-line", layer)
    for end in ends:
        yield Line((point(end, at - way * tick), point(end, toward)), "grid", layer)
        slant = (point(end - tick, at + tick), point(end + tick, at - tick))
        yield Line(slant, "key-line", layer)
    size = 0.8 * u
    for index in range(len(ends) - 1):
        text = metres_text(edges[index + 1] - edges[index], cell_size)
        room = ends[index + 1] - ends[index]
        middle = (ends[index] + ends[index + 1]) / 2
        need = 0.62 * size * len(text) + 0.3 * u
        # what is too long for its place stands further out, by turns
        out = 0.62 * u if need <= room else (0.62 + 0.85 * (1 + index % 2)) * u
        yield Text(
            point(middle, at - way * out), text, size, "words", layer, angle=270 if upright else 0
        )
