"""Draws: the n-th of a stream follows from the seed, the name of the stream and n alone."""

from __future__ import annotations

from loopwright.simulate.columns import CURVE, EMPIRICAL, GEOMETRIC, UNIFORM, Chance
from loopwright.simulate.kernel.jit import apart, kernel
from loopwright.simulate.kernel.vector import item, lowest

MASK = (1 << 32) - 1


@apart
def draw(chance: Chance, high: int, low: int, number: int) -> tuple[int, int]:
    """Two words of 32 bits: draw `number` of a stream (Philox 4x32 with ten rounds)."""
    a = int(number) & MASK
    b = int(number) >> 32
    c, d = int(high), int(low)
    k = int(item(chance.seed, 0))
    m = 0
    for _ in range(10):  # products may use the sign: only their bits count
        p = 0xD2511F53 * a
        q = 0xCD9E8D57 * c
        a, b = ((q >> 32) & MASK) ^ b ^ k, q & MASK
        c, d = ((p >> 32) & MASK) ^ d ^ m, p & MASK
        k = (k + 0x9E3779B9) & MASK
        m = (m + 0xBB67AE85) & MASK
    return a, b


@apart
def draw_ticks(chance: Chance, law: int, high: int, low: int, number: int) -> int:
    """A time by `law`, of draw `number` of a stream."""
    row = item(chance.laws, law)
    first, second = draw(chance, high, low, number)
    if row.kind == EMPIRICAL:
        return int(chance.values[row.first + ((first * row.count) >> 32)])
    if row.kind <= UNIFORM:
        return int(row.low + ((first * row.span) >> 32))
    zeros = 32
    if first:
        zeros = lowest(first)
    step = second >> 22
    start = int(item(chance.curve, step))
    rise = int(item(chance.curve, step + 1)) - start
    parts = zeros * int(item(chance.curve, CURVE)) + start
    time = (parts + ((rise * (second & ((1 << 22) - 1))) >> 22)) * int(row.middle)
    shift = 20 + int(row.shift)
    if row.kind == GEOMETRIC:
        return 1 + (time >> shift)
    return max(1, (time + (1 << (shift - 1))) >> shift)


@apart
def is_missed(chance: Chance, picker: int, picks: int) -> bool:
    """3.2 Whether this pick is missed; it counts as such if so."""
    row = item(chance.misses, picker)
    first, _ = draw(chance, row.high, row.low, picks + row.missed)
    if first < row.below:
        row.missed += 1
        return True
    return False


@kernel
def refuses(chance: Chance, slow: int, step: int) -> bool:
    """2. Whether a slow cell or belt stays as it is at its step of that number."""
    row = item(chance.slows, slow)
    if step % row.every:
        return True
    if row.below == 0:
        return False
    first, _ = draw(chance, row.high, row.low, step)
    return bool(first < row.below)
