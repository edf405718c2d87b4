"""Belts that do not go as they should: slow ones, and what is done to their cells by hand."""

from __future__ import annotations

from loopwright.simulate.columns import Belts, Chance
from loopwright.simulate.kernel.belt import bit_of, enter, leave, look, units_of
from loopwright.simulate.kernel.chance import refuses
from loopwright.simulate.kernel.jit import apart
from loopwright.simulate.kernel.mark import mark
from loopwright.simulate.kernel.vector import item


@apart
def stays(belts: Belts, chance: Chance, belt: int, now: int) -> bool:
    """2. Whether the whole belt leaves out the step that is due."""
    row = item(belts.rows, belt)
    for slow in range(chance.slows.size):
        at = item(chance.slows, slow)
        if at.belt == belt and at.cell < 0 and refuses(chance, slow, now // row.step):
            row.stood = row.length
            return True
    return False


@apart
def advance_slowly(belts: Belts, chance: Chance, belt: int, now: int) -> None:
    """2.2 As `advance`, cell by cell: a slow cell may keep its carrier."""
    row = item(belts.rows, belt)
    row.solid, row.stood = 0, row.length
    for cell in range(row.length - 2, -1, -1):
        code = look(belts, belt, cell)
        if code == 0 or look(belts, belt, cell + 1):
            continue
        kept = False
        for slow in range(chance.slows.size):
            at = item(chance.slows, slow)
            if at.belt == belt and at.cell == cell:
                kept |= refuses(chance, slow, now // row.step)
        if not kept:
            belts.cells[row.origin + cell + 1] = code
            belts.cells[row.origin + cell] = 0
    if row.watch >= 0:
        mark(belts.scan, belt)
    if row.waiting:
        mark(belts.drops, belt)


@apart
def act_by_hand(belts: Belts, chance: Chance, act: int) -> None:
    """0.1 Somebody takes off what is on a cell, and may put a carrier there."""
    row = item(chance.acts, act)
    palette = item(belts.rows, row.belt).palette
    if look(belts, row.belt, row.cell):
        code = leave(belts, row.belt, row.cell)
        chance.by_hand[1, belts.material[palette, bit_of(code)]] += units_of(code)
    if row.code:
        enter(belts, row.belt, row.cell, row.code)
        chance.by_hand[0, belts.material[palette, bit_of(row.code)]] += units_of(row.code)
