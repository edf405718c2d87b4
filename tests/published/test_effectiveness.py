"""Overall equipment effectiveness: Nakajima, Introduction to TPM, 1988, on a much printed example.

420 min planned, 373 run, 1 s ideal, 19 271 made of which 423 are rejects. Exact, then six places.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.simulate.reading.effectiveness import Effectiveness, in_series

SHIFT = Effectiveness(
    "press",
    planned=Fraction(420 * 60),
    running=Fraction(373 * 60),
    ideal=Fraction(1),
    made=Fraction(19271),
    good=Fraction(19271 - 423),
)


def test_the_three_factors() -> None:
    assert float(SHIFT.availability) == pytest.approx(0.888095, abs=5e-7)
    assert float(SHIFT.performance) == pytest.approx(0.861081, abs=5e-7)
    assert float(SHIFT.quality) == pytest.approx(0.978050, abs=5e-7)
    assert float(SHIFT.overall) == pytest.approx(0.747937, abs=5e-7)


def test_the_product_is_good_units_in_ideal_time_over_planned_time() -> None:
    assert SHIFT.availability * SHIFT.performance * SHIFT.quality == SHIFT.overall


def test_devices_in_series_that_fail_independently() -> None:
    """.99^20 and .95^10, the product rule of every reliability text."""
    assert in_series([Fraction(99, 100)] * 20) == Fraction(99, 100) ** 20
    assert float(in_series([Fraction(99, 100)] * 20)) == pytest.approx(0.817907, abs=5e-7)
    assert float(in_series([Fraction(95, 100)] * 10)) == pytest.approx(0.598737, abs=5e-7)
    assert in_series([]) == 1
