"""A 90 % t interval of ten values: Law and Kelton, Simulation Modeling and Analysis, ch. 4.

The numbers were worked out again to five places; the book gives 1.34 +- 0.24. The t values are
those of every printed table, to its three places.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.simulate.reading.interval import mean_interval
from loopwright.simulate.reading.student import t_quantile

TEXTS = ("1.20", "1.50", "1.68", "1.89", "0.95", "1.49", "1.58", "1.55", "0.50", "1.09")


def test_mean_variance_and_half_width() -> None:
    interval = mean_interval([Fraction(text) for text in TEXTS], Fraction(9, 10))
    assert interval.mean == Fraction("1.343")
    assert float(interval.variance) == pytest.approx(0.16751, abs=1e-5)
    assert interval.half_width == pytest.approx(0.23725, abs=1e-5)


@pytest.mark.parametrize(
    ("confidence", "freedom", "value"),
    [
        (0.90, 1, 6.314),
        (0.95, 1, 12.706),
        (0.90, 9, 1.833),
        (0.95, 2, 4.303),
        (0.95, 10, 2.228),
        (0.99, 5, 4.032),
        (0.95, 30, 2.042),
        (0.99, 120, 2.617),
    ],
)
def test_quantiles_are_those_of_the_tables(confidence: float, freedom: int, value: float) -> None:
    assert t_quantile(confidence, freedom) == pytest.approx(value, abs=5e-4)


def test_with_one_degree_of_freedom_it_is_the_cauchy_distribution() -> None:
    """Half of it lies within 1."""
    assert t_quantile(0.5, 1) == pytest.approx(1, abs=1e-14)
    assert t_quantile(0, 7) == pytest.approx(0, abs=1e-300)
