"""Means with their half width: of replications, and of one long run by batch means."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import sqrt

from loopwright.simulate.reading.student import t_quantile

CONFIDENCE = Fraction(19, 20)

BATCHES = 20
"""Batches of a run: 10 to 30 serve (Schmeiser, Batch size effects in the analysis of simulation
output, Operations Research 30, 1982)."""

CORRELATED = 1.645
"""One-sided 5 % point of the normal distribution, for the correlation of neighbouring batches."""


@dataclass(frozen=True, slots=True)
class Interval:
    """`mean` +- `half_width` at `confidence`, from `count` values of variance `variance`.

    `correlation` of each value with the next, None where all are equal.
    """

    mean: Fraction
    variance: Fraction
    half_width: float
    count: int
    confidence: Fraction
    correlation: Fraction | None

    @property
    def correlated(self) -> bool:
        """Whether neighbours resemble each other so much that the interval is too narrow."""
        return self.correlation is not None and self.correlation > CORRELATED / sqrt(self.count)


def mean_interval(values: Sequence[Fraction | int], confidence: Fraction = CONFIDENCE) -> Interval:
    """The t interval of the mean of `values`, taken as independent; there must be two or more."""
    count = len(values)
    if count < 2:
        raise ValueError("an interval needs two values")
    mean = Fraction(sum(values, Fraction(0)), count)
    rest = [value - mean for value in values]
    squares = sum((value * value for value in rest), Fraction(0))
    variance = squares / (count - 1)
    half_width = 0.0
    if variance:
        half_width = t_quantile(float(confidence), count - 1) * sqrt(variance / count)
    neighbours = sum((a * b for a, b in pairwise(rest)), Fraction(0))
    correlation = neighbours / squares if squares else None
    return Interval(mean, variance, half_width, count, confidence, correlation)


def batch_interval(
    values: Sequence[Fraction | int], confidence: Fraction = CONFIDENCE
) -> Interval | None:
    """The interval of the mean of a series whose values depend on each other.

    The series is cut into `BATCHES` batches of equal length; what does not fit is left out at the
    beginning, nearest to the warm-up. None with fewer than two values a batch.
    """
    size = len(values) // BATCHES
    if size < 2:
        return None
    used = values[len(values) - size * BATCHES :]
    sums = [sum(used[at : at + size], Fraction(0)) for at in range(0, len(used), size)]
    means = [Fraction(total) / size for total in sums]
    return mean_interval(means, confidence)
