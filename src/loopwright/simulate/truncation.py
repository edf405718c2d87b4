"""How much of the beginning of a series is warm-up: MSER-5, in exact arithmetic.

White, An effective truncation heuristic for bias reduction in simulation output, Simulation 69
(1997); White, Cobb and Spratt, A comparison of five steady-state truncation heuristics for
simulation, Winter Simulation Conference 2000.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

BATCH = 5
"""Values in a batch, the 5 of MSER-5."""

LEAST_BATCHES = 10
"""With fewer nothing is said."""

LEAST_LEFT = 5
"""Batches that must be left: with fewer the statistic says more about chance than about bias."""


@dataclass(frozen=True, slots=True)
class Truncation:
    """Drop the first `dropped` of `values` values.

    `refused` where the least value of the statistic lies in the second half, or where there are too
    few batches: the series is too short to tell, and the first half is dropped for want of better.
    """

    dropped: int
    values: int
    refused: bool


def mser5(values: Sequence[Fraction | int]) -> Truncation:
    """Where to cut `values`: where the squared standard error of what is left is least.

    The statistic of dropping d of k batch means Z is the sum of (Z_j - mean)^2 over those left,
    divided by (k - d)^2. Of equal least values the first counts. Values behind the last whole batch
    are not looked at.
    """
    count = len(values) // BATCH
    half = Truncation(len(values) // 2, len(values), True)
    if count < LEAST_BATCHES:
        return half
    scale = lcm(*(Fraction(value).denominator for value in values))
    whole = [int(value * scale) for value in values]
    batches = [sum(whole[at : at + BATCH]) for at in range(0, count * BATCH, BATCH)]
    best, least = 0, (0, 0)
    total = squares = 0
    for left in range(1, count + 1):
        value = batches[count - left]
        total += value
        squares += value * value
        # the statistic as a fraction, but for factors that do not depend on what is left
        over, under = left * squares - total * total, left**3
        if left >= LEAST_LEFT and (not least[1] or over * least[1] <= least[0] * under):
            best, least = count - left, (over, under)
    if 2 * best > count:
        return half
    return Truncation(best * BATCH, len(values), False)
