"""Belts: what a cell holds, and how carriers advance."""

from __future__ import annotations

from loopwright.simulate.columns import COUNT_BITS, COUNT_MASK, Belts
from loopwright.simulate.kernel.jit import kernel


@kernel
def cell_of(bit: int, count: int) -> int:
    """The code of a carrier."""
    return (1 << (bit + COUNT_BITS)) | count


@kernel
def bit_of(code: int) -> int:
    """The bit of the material of a carrier."""
    bit = -1
    rest = code >> COUNT_BITS
    while rest:
        rest >>= 1
        bit += 1
    return bit


@kernel
def count_of(code: int) -> int:
    """The units on a carrier."""
    return code & COUNT_MASK


@kernel
def look(belts: Belts, belt: int, index: int) -> int:
    """The code of cell `index`, 0 when it is empty."""
    return int(belts.cells[belts.base[belt] + index])


@kernel
def put(belts: Belts, belt: int, index: int, code: int) -> None:
    """Fill, change or empty cell `index`."""
    belts.cells[belts.base[belt] + index] = code


@kernel
def look_at_head(belts: Belts, belt: int) -> int:
    """The code of the last cell."""
    return look(belts, belt, belts.length[belt] - 1)


@kernel
def take_head(belts: Belts, belt: int) -> int:
    """Take the carrier off the last cell."""
    last = belts.length[belt] - 1
    code = look(belts, belt, last)
    put(belts, belt, last, 0)
    return code


@kernel
def advance(belts: Belts, belt: int) -> None:
    """2.2 Everything behind the first gap, seen from the head, moves one cell."""
    first = belts.base[belt]
    gap = first + belts.length[belt] - 1
    while gap >= first and belts.cells[gap] != 0:
        gap -= 1
    if gap < first:
        return
    for index in range(gap, first, -1):
        belts.cells[index] = belts.cells[index - 1]
    belts.cells[first] = 0
