"""Paper, scales, and how much of a site goes on one sheet."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from loopwright.drawing.mark import CELL

SCALES = (10, 20, 50, 100, 200, 250, 500, 1000, 2000, 2500, 5000, 10000)
"""Scales 1:n that a drawing may have."""

BINDING, EDGE = 20.0, 10.0
"""Margin at the left, where sheets are bound, and at the other sides [mm], as ISO 5457 has it."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A lying sheet [mm]; `text` is the height of plain text on it."""

    name: str
    width: float
    height: float
    text: float

    @property
    def inner(self) -> tuple[float, float]:
        """Width and height within the frame [mm]."""
        return self.width - BINDING - EDGE, self.height - 2 * EDGE


PAPERS = {paper.name: paper for paper in (Paper("A3", 420, 297, 2.5), Paper("A4", 297, 210, 2.0))}
"""Papers by name."""


def unit_length(cell_size: Fraction, scale: int) -> float:
    """Length of a sheet unit on paper at the scale 1:`scale` [mm]."""
    return float(cell_size) * 1000 / scale / CELL


def fitting_scale(
    cell_size: Fraction, cells: tuple[float, float], room: tuple[float, float]
) -> int:
    """The n of the largest scale 1:n at which `cells` across and down go into `room` [mm]."""
    for scale in SCALES:
        side = unit_length(cell_size, scale) * CELL
        if cells[0] * side <= room[0] and cells[1] * side <= room[1]:
            return scale
    return SCALES[-1]


def legible_scale(cell_size: Fraction, side: float) -> int:
    """The n of the smallest scale 1:n at which a cell is at least `side` wide [mm]."""
    fine = [n for n in SCALES if unit_length(cell_size, n) * CELL >= side]
    return max(fine, default=SCALES[0])
