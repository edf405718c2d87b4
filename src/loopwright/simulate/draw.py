"""Random numbers outside the kernel, and the tables that the kernel draws by.

The n-th number of a stream follows from the seed, the name of the stream and n alone (Philox 4x32
with ten rounds; Salmon, Moraes, Dror and Shaw 2011), so no device disturbs another.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction
from functools import cache
from hashlib import sha256
from math import floor

from loopwright.simulate.columns import CURVE, EMPIRICAL, EXPONENTIAL, FIXED, GEOMETRIC, UNIFORM
from loopwright.simulate.disturbance import Law
from loopwright.simulate.limit import EngineLimitError, LayoutError

MASK = 2**32 - 1
_EXACT = Context(prec=60)
KINDS = {
    "fixed": FIXED,
    "uniform": UNIFORM,
    "exponential": EXPONENTIAL,
    "geometric": GEOMETRIC,
    "empirical": EMPIRICAL,
}


@dataclass(frozen=True, slots=True)
class Table:
    """A law in whole numbers: `low` and `span` [ticks] of uniform, fixed and empirical; `mean`
    [ticks / 2**`shift`] of the exponential that others are made of; `values` [ticks]."""

    kind: int
    low: int = 1
    span: int = 1
    mean: int = 0
    shift: int = 0
    values: tuple[int, ...] = ()


def stream(kind: str, device: str) -> tuple[int, int]:
    """The two words that tell the stream `kind` of `device` from all others."""
    digest = sha256(f"{kind} {device}".encode()).digest()
    return int.from_bytes(digest[:4], "big"), int.from_bytes(digest[4:8], "big")


def draw(seed: int, name: tuple[int, int], number: int) -> tuple[int, int]:
    """Two words of 32 bits: draw `number` of the stream `name`."""
    a, b, c, d = number & MASK, number >> 32, *name
    k, m = seed, 0
    for _ in range(10):
        p, q = 0xD2511F53 * a, 0xCD9E8D57 * c
        a, b, c, d = (q >> 32) ^ b ^ k, q & MASK, (p >> 32) ^ d ^ m, p & MASK
        k, m = (k + 0x9E3779B9) & MASK, (m + 0xBB67AE85) & MASK
    return a, b


def threshold(share: Fraction) -> int:
    """Below which first words something of chance `share` happens."""
    return floor(share * 2**32 + Fraction(1, 2))


@cache
def curve() -> tuple[int, ...]:
    """-ln(1 - j / 2 CURVE) in parts of 2**-20 for j = 0 to CURVE."""
    logs = (_log(Fraction(2 * CURVE - j, 2 * CURVE)) for j in range(CURVE + 1))
    return tuple(_rounded(-log * 2**20) for log in logs)


def table(device: str, law: Law, mean: Fraction, tick: Fraction) -> Table:
    """`law` about `mean` [s] for a device.

    Raises
    ------
    LayoutError
        There is no such law, or it gives no times.
    EngineLimitError
        The mean has more ticks than the engine can draw.
    """
    if law.kind not in KINDS:
        raise LayoutError(f"{device}: no law {law.kind}")
    kind, mean = KINDS[law.kind], mean / tick
    if mean >= 2**36:
        raise EngineLimitError(f"{device}: a mean of {float(mean):.3g} ticks, 6.8e10 fit")
    if law.kind == "empirical":
        if not law.values:
            raise LayoutError(f"{device}: an empirical law without values")
        return Table(kind, values=tuple(whole(value / tick) for value in law.values))
    if law.kind in ("fixed", "uniform"):
        if not 0 <= law.spread <= 1:
            raise LayoutError(f"{device}: a spread of {law.spread}, from 0 to 1 make sense")
        spread = law.spread if law.kind == "uniform" else Fraction(0)
        low, high = whole(mean * (1 - spread)), whole(mean * (1 + spread))
        return Table(kind, low, high - low + 1)
    if law.kind == "geometric":
        if mean <= 1:
            return Table(FIXED)
        log = _log(1 - 1 / mean)
        shift = 10 if -1 / log < 2**26 else 0
        return Table(kind, mean=_rounded(-(2**shift) / log), shift=shift)
    shift = 10 if mean < 2**26 else 0
    return Table(kind, mean=floor(mean * 2**shift + Fraction(1, 2)), shift=shift)


def ticks(law: Table, words: tuple[int, int]) -> int:
    """A time [ticks] by `law`."""
    if law.kind == EMPIRICAL:
        return law.values[words[0] * len(law.values) >> 32]
    if law.kind in (FIXED, UNIFORM):
        return law.low + (words[0] * law.span >> 32)
    zeros = 32 if words[0] == 0 else (words[0] & -words[0]).bit_length() - 1
    step, part = words[1] >> 22, words[1] & (2**22 - 1)
    rise = curve()[step + 1] - curve()[step]
    time = (zeros * curve()[CURVE] + curve()[step] + (rise * part >> 22)) * law.mean
    if law.kind == GEOMETRIC:
        return 1 + (time >> 20 + law.shift)
    return max(1, time + (1 << 19 + law.shift) >> 20 + law.shift)


def whole(time: Fraction) -> int:
    """`time` [ticks] to the nearest tick, a half up, at least 1."""
    return max(1, floor(time + Fraction(1, 2)))


def longest(law: Law, mean: Fraction) -> Fraction:
    """A time [s] that hardly any draw exceeds: one in 10^8 of an exponential law."""
    if law.kind == "empirical":
        return max(law.values, default=mean)
    if law.kind == "uniform":
        return mean * (1 + law.spread)
    return mean if law.kind == "fixed" else 19 * mean


def _log(x: Fraction) -> Decimal:
    return _EXACT.ln(_EXACT.divide(Decimal(x.numerator), Decimal(x.denominator)))


def _rounded(x: Decimal) -> int:
    return int(x.to_integral_value(ROUND_HALF_UP))
