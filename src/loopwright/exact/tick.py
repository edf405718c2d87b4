"""The tick: the longest time that divides every duration."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import gcd, lcm


def common_tick(durations: Iterable[Fraction]) -> Fraction:
    """Greatest common divisor of `durations` [s]: the longest time of which each is a multiple.

    Raises
    ------
    ValueError
        There is no duration, or one is not above 0.
    """
    top, bottom = 0, 1
    for duration in durations:
        if duration <= 0:
            raise ValueError(f"a duration must be above 0, not {duration}")
        top, bottom = gcd(top, duration.numerator), lcm(bottom, duration.denominator)
    if top == 0:
        raise ValueError("a tick needs at least one duration")
    return Fraction(top, bottom)
