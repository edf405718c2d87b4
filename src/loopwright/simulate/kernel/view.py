"""A look at a part: its cells, stations and pickers as they are shown, one number each."""

from __future__ import annotations

import numpy as np

from loopwright.simulate.columns import BLOCKED, BUSY, IDLE, Array, Part
from loopwright.simulate.kernel.belt import bit_of, units_of
from loopwright.simulate.kernel.jit import kernel
from loopwright.simulate.kernel.vector import item


@kernel
def view_belts(
    part: Part, firsts: Array, names: Array, cells: Array, places: Array, stood: Array
) -> None:
    """Write material x 16 + units of each cell to `cells`, 0 when it is empty, and what stood.

    In `cells` the tail of a belt is at `firsts`, in `stood` a belt is at `places`; a material of
    this part is `names` there.
    """
    belts = part.belts
    for belt in range(belts.rows.size):
        row = item(belts.rows, belt)
        first = item(firsts, belt)
        stood[item(places, belt)] = row.stood
        for cell in range(row.length):
            code = int(item(belts.cells, row.origin + cell))
            shown = 0
            if code:
                material = item(names, int(belts.material[row.palette, bit_of(code)]))
                shown = material << 4 | units_of(code)
            cells[first + cell] = shown


@kernel
def view_stations(part: Part, places: Array, names: Array, shown: Array) -> None:
    """Write what each station does: 1 busy, 2 blocked, 4 down, 3 starved with the number of the
    missing material + 1 times 8, to its place in `shown`."""
    stations = part.stations
    for station in range(places.size):  # without the tanks of applicators, which come behind
        row = item(stations.rows, station)
        if row.status == BUSY:
            told = 1
        elif row.status == BLOCKED:
            told = 2
        elif row.status >= 0:
            material = int(item(stations.inputs, row.input_first + row.status).material)
            told = 3 | min(item(names, material) + 1, 31) << 3
        else:
            told = 4
        shown[item(places, station)] = told


@kernel
def view_pickers(part: Part, places: Array, names: Array, shown: Array) -> None:
    """Write phase x 64 + number of the material in the hand + 1 to the place of each picker."""
    pickers = part.pickers
    for picker in range(pickers.rows.size):
        row = item(pickers.rows, picker)
        hand = 0
        if row.phase != IDLE and row.units:
            hand = min(item(names, int(row.material)) + 1, 63)
        shown[item(places, picker)] = np.int64(row.phase) << 6 | hand
