"""Frames of a run: the cells of all belts, copied every few ticks."""

from __future__ import annotations

import numpy as np

from loopwright.simulate.columns import Array, Belts, Part
from loopwright.simulate.kernel.jit import entry, kernel
from loopwright.simulate.kernel.tick import run_to
from loopwright.simulate.kernel.vector import item


@kernel
def copy_cells(belts: Belts, frames: Array, frame: int, first: int) -> None:
    """Write the cells of all belts, tail first, to `frames[frame]` from place `first` on."""
    at = np.uint64(first)
    for belt in range(belts.rows.size):
        row = item(belts.rows, belt)
        origin = np.uint64(row.origin)
        for cell in range(np.uint64(row.length)):
            frames[np.uint64(frame), at + cell] = belts.cells[origin + cell]
        at += np.uint64(row.length)


@entry
def film(part: Part, ticks: Array, frames: Array, frame: int, first: int) -> None:
    """Run on to each of `ticks` and put a frame of it into `frames`, the first into `frame`."""
    for number in range(ticks.size):
        run_to(part, ticks[number])
        copy_cells(part.belts, frames, frame + number, first)
