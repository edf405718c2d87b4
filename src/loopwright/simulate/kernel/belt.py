"""Belts: what a cell holds, and how carriers advance.

The cells of a belt slide: when all its carriers advance, the place where its tail is moves down
by one and nothing is copied. Behind a queue that stands, the shorter of queue and rest is moved.
"""

from __future__ import annotations

from loopwright.simulate.columns import COUNT_BITS, COUNT_MASK, Belts
from loopwright.simulate.kernel.jit import kernel
from loopwright.simulate.kernel.mark import mark
from loopwright.simulate.kernel.vector import item, lowest, shift


@kernel
def cell_of(bit: int, units: int) -> int:
    """The code of a carrier."""
    return (1 << (bit + COUNT_BITS)) | int(units)


@kernel
def bit_of(code: int) -> int:
    """The bit of the material of a carrier."""
    return lowest(code >> COUNT_BITS)


@kernel
def units_of(code: int) -> int:
    """The units on a carrier."""
    return code & COUNT_MASK


@kernel
def look(belts: Belts, belt: int, cell: int) -> int:
    """The code of a cell, 0 when it is empty."""
    return int(item(belts.cells, item(belts.rows, belt).origin + cell))


@kernel
def look_at_head(belts: Belts, belt: int) -> int:
    """The code of the last cell."""
    row = item(belts.rows, belt)
    return int(item(belts.cells, row.origin + row.length - 1))


@kernel
def enter(belts: Belts, belt: int, cell: int, code: int) -> None:
    """A carrier comes onto an empty cell."""
    row = item(belts.rows, belt)
    belts.cells[row.origin + cell] = code
    row.carriers += 1
    if row.counted:
        belts.on_belt[belt, bit_of(code)] += 1
    if row.watch >= 0:
        mark(belts.scan, belt)


@kernel
def leave(belts: Belts, belt: int, cell: int) -> int:
    """The carrier on an occupied cell leaves it."""
    row = item(belts.rows, belt)
    code = int(item(belts.cells, row.origin + cell))
    belts.cells[row.origin + cell] = 0
    row.carriers -= 1
    behind = row.length - 1 - cell
    if behind > 0:  # a queue that has lost its head only moves on as one
        row.solid = min(row.solid, behind)
    if row.counted:
        belts.on_belt[belt, bit_of(code)] -= 1
    if row.waiting:
        mark(belts.drops, belt)
    return code


@kernel
def take_head(belts: Belts, belt: int) -> int:
    """The carrier on the last cell, which must be occupied, leaves it."""
    return leave(belts, belt, item(belts.rows, belt).length - 1)


@kernel
def slide(belts: Belts, belt: int) -> None:
    """Every cell becomes the one before it; the first is empty, what was last is gone."""
    row = item(belts.rows, belt)
    if row.origin == row.room:
        row.origin += row.length
        shift(belts.cells, row.origin, row.room, row.length)
    row.origin -= 1
    belts.cells[row.origin] = 0


@kernel
def advance(belts: Belts, belt: int) -> None:
    """2.2 Everything behind the first gap, seen from the head, moves one cell."""
    row = item(belts.rows, belt)
    carriers, length = row.carriers, row.length
    if carriers == 0 or carriers == length:
        row.stood = carriers
        return
    if item(belts.cells, row.origin + length - 1) == 0:
        slide(belts, belt)
        row.stood = 0
        row.solid = max(row.solid - 1, 0)
    else:
        queue = max(row.solid, 1)
        gap = row.origin + length - 1 - queue
        while item(belts.cells, gap) != 0:
            gap -= 1
        queue = row.origin + length - 1 - gap
        row.solid = row.stood = queue
        if queue == carriers:
            return
        rest = length - 1 - queue
        if rest < queue:
            shift(belts.cells, row.origin + 1, row.origin, rest)
            belts.cells[row.origin] = 0
        else:
            slide(belts, belt)
            shift(belts.cells, row.origin + rest + 1, row.origin + rest + 2, queue)
    if row.watch >= 0:
        mark(belts.scan, belt)
    if row.waiting:
        mark(belts.drops, belt)
