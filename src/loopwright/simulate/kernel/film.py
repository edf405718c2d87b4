"""Frames of a run: the cells of all belts, copied every few ticks."""

from __future__ import annotations

from loopwright.simulate.columns import Array, Belts, Part
from loopwright.simulate.kernel.jit import kernel
from loopwright.simulate.kernel.tick import run_to
from loopwright.simulate.kernel.vector import item


@kernel
def copy_cells(belts: Belts, frames: Array, frame: int, first: int) -> None:
    """Write the cells of all belts, tail first, to `frames[frame]` from place `first` on."""
    at = first
    for belt in range(belts.rows.size):
        row = item(belts.rows, belt)
        origin = row.origin
        for cell in range(row.length):
            frames[frame, at + cell] = item(belts.cells, origin + cell)
        at += row.length


@kernel
def film(part: Part, ticks: Array, frames: Array, frame: int, first: int) -> None:
    """Run on to each of `ticks` and put a frame of it into `frames`, the first into `frame`."""
    for number in range(ticks.size):
        run_to(part, ticks[number])
        copy_cells(part.belts, frames, frame + number, first)
