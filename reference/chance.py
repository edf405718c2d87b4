"""Random numbers: the n-th of a stream is computed from the seed, the name and n alone.

Philox 4x32 with ten rounds: J. K. Salmon, M. A. Moraes, R. O. Dror, D. E. Shaw, "Parallel random
numbers: as easy as 1, 2, 3", SC 2011.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from hashlib import sha256
from math import floor
from typing import Any

WORD = 2**32
FINE = 2**200
"""Parts of 1 in which logarithms are summed up."""


def philox(counter: tuple[int, ...], key: tuple[int, int]) -> tuple[int, ...]:
    """Four words of 32 bits from a counter of four and a key of two."""
    a, b, c, d = counter
    k, m = key
    for _ in range(10):
        high_a, low_a = divmod(0xD2511F53 * a, WORD)
        high_c, low_c = divmod(0xCD9E8D57 * c, WORD)
        a, b, c, d = high_c ^ b ^ k, low_c, high_a ^ d ^ m, low_a
        k, m = (k + 0x9E3779B9) % WORD, (m + 0xBB67AE85) % WORD
    return a, b, c, d


def draw(seed: int, kind: str, device: str, number: int) -> tuple[int, int]:
    """Two words: draw `number` of the stream `kind` of `device`."""
    name = sha256(f"{kind} {device}".encode()).digest()
    words = int.from_bytes(name[:4], "big"), int.from_bytes(name[4:8], "big")
    first, second, _, _ = philox((number % WORD, number // WORD, *words), (seed, 0))
    return first, second


def happens(share: Fraction, words: tuple[int, int]) -> bool:
    """Whether something that happens with chance `share` does."""
    return words[0] < floor(share * WORD + Fraction(1, 2))


def ticks(law: dict[str, Any], mean: Fraction, tick: Fraction, words: tuple[int, int]) -> int:
    """A time in ticks, drawn by `law` about `mean` [ticks]."""
    if law["kind"] == "fixed":
        return whole(mean)
    if law["kind"] == "empirical":
        values = [whole(Fraction(value) / tick) for value in law["values"]]
        return values[words[0] * len(values) // WORD]
    if law["kind"] == "uniform":
        spread = Fraction(law["spread"])
        low, high = whole(mean * (1 - spread)), whole(mean * (1 + spread))
        return low + words[0] * (high - low + 1) // WORD
    if law["kind"] == "exponential":
        parts, one = scaled(mean)
        return max(1, (exponential(words) * parts + one * 2**19) // (one * 2**20))
    if mean <= 1:
        return 1
    parts, one = scaled(Fraction(FINE, minus_log(1 - 1 / mean)))
    return 1 + exponential(words) * parts // (one * 2**20)


def whole(time: Fraction) -> int:
    """`time` [ticks] to the nearest tick, a half up, at least 1."""
    return max(1, floor(time + Fraction(1, 2)))


def scaled(mean: Fraction) -> tuple[int, int]:
    """`mean` in parts of which the second number makes one tick."""
    one = 1024 if mean < 2**26 else 1
    return floor(mean * one + Fraction(1, 2)), one


def exponential(words: tuple[int, int]) -> int:
    """Exponential with mean 2**20: halvings by the zeros of one word, the rest by the other."""
    zeros = 32 if words[0] == 0 else (words[0] & -words[0]).bit_length() - 1
    step, part = divmod(words[1], 2**22)
    return zeros * curve(1024) + curve(step) + (curve(step + 1) - curve(step)) * part // 2**22


@cache
def curve(step: int) -> int:
    """-ln(1 - step / 2048) in parts of 2**-20, rounded."""
    return floor(Fraction(minus_log(1 - Fraction(step, 2048)) * 2**20, FINE) + Fraction(1, 2))


@cache
def minus_log(x: Fraction) -> int:
    """-ln x in parts of 1 / `FINE`, for 0 < x <= 1: halved until x > 1/2, then a series."""
    total = 0
    while x * 2 <= 1:
        x *= 2
        total += minus_log(Fraction(2, 3)) + minus_log(Fraction(3, 4))
    ratio = (1 - x) / (1 + x)  # -ln x = 2 (r + r^3 / 3 + r^5 / 5 + ...)
    power, odd = floor(2 * ratio * FINE), 1
    while power:
        total += power // odd
        power = floor(power * ratio * ratio)
        odd += 2
    return total
