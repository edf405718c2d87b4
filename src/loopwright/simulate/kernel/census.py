"""What is on every cell, counted."""

from __future__ import annotations

from loopwright.simulate.columns import Array, Part
from loopwright.simulate.kernel.belt import bit_of, units_of
from loopwright.simulate.kernel.jit import kernel
from loopwright.simulate.kernel.vector import item


@kernel
def count_cells(
    part: Part, places: Array, firsts: Array, names: Array, on: Array, units: Array, seen: Array
) -> None:
    """Add what is on the belts to `on` (belt, material) [carriers], `units` (material) and `seen`
    (cell, material) [carriers].

    These three are of the whole layout: in it a belt is at `places`, its tail cell at `firsts`, and
    a material at `names`.
    """
    belts = part.belts
    for belt in range(belts.rows.size):
        row = item(belts.rows, belt)
        place = item(places, belt)
        first = item(firsts, belt)
        left = row.carriers
        cell = row.length
        while left:  # from the head on, where carriers queue
            cell -= 1
            code = int(item(belts.cells, row.origin + cell))
            if code:
                left -= 1
                material = item(names, int(belts.material[row.palette, bit_of(code)]))
                on[place, material] += 1
                units[material] += units_of(code)
                seen[first + cell, material] += 1
