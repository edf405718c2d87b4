"""MSER-5: White, Simulation 69(6), 1997; White, Cobb and Spratt, Winter Simulation Conference 2000.

The series are not from these papers; where the cut must fall follows from the definition. Exact.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.simulate.truncation import BATCH, LEAST_LEFT, Truncation, mser5

STEADY = [9, 11] * 225


@pytest.mark.parametrize(("zeros", "cut"), [(50, 50), (53, 55)])
def test_an_empty_beginning_is_cut_off_in_whole_batches(zeros: int, cut: int) -> None:
    values = [0] * zeros + STEADY
    assert mser5(values) == Truncation(cut, len(values), False)


def test_the_statistic_is_that_of_the_definition() -> None:
    """Each candidate by the formula as printed, in fractions."""
    values = [Fraction((7 * n * n) % 23, 1 + n % 3) for n in range(100)]
    means = [sum(values[at : at + BATCH]) / BATCH for at in range(0, 100, BATCH)]
    statistic = {}
    for d in range(len(means) - LEAST_LEFT + 1):
        left = means[d:]
        mean = sum(left) / len(left)
        statistic[d] = sum((z - mean) ** 2 for z in left) / Fraction(len(left)) ** 2
    best = min(statistic, key=lambda d: (statistic[d], d))
    found = mser5(values)
    assert found.refused == (2 * best > len(means))
    assert found.dropped == (50 if found.refused else best * BATCH)


def test_a_least_value_in_the_second_half_is_refused() -> None:
    values = [*range(300), *[300] * 100]
    assert mser5(values) == Truncation(200, 400, True)


def test_a_short_series_is_refused() -> None:
    assert mser5([1] * 49) == Truncation(24, 49, True)
    assert mser5([1] * 50) == Truncation(0, 50, False)
