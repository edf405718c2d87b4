"""Serial lines by simulation: exponential stations in a row, and stations that fail.

Values: G. C. Hunt, Sequential arrays of waiting lines, Operations Research 4, 1956 (no buffers, two
and three stations); F. S. Hillier and R. W. Boling, Finite queues in series, Operations Research
15, 1967 (0.5148 for four); the fraction for four, and (B + 2) / (B + 3) for two with B places
between, are stationary solutions worked out anew. J. A. Buzacott, Automatic transfer lines
with buffer stocks, International Journal of Production Research 5, 1967 (stations that fail).

Seeds are fixed. Accepted: 3.5 standard errors of 30 lines, and what the moves of parts take.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.simulate.disturbance import Disturbances, Failure, Law, Pace
from tests.published.lines import MOVE, ended, mean_and_error, run, saturated_lines

COPIES = 30
CYCLE = 2000
EXPONENTIAL = Law("exponential")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("cycles", "buffers", "value"),
    [
        ((1, 1), (0,), 2 / 3),
        ((2, 1), (0,), 6 / 7 / 2),
        ((1, 1, 1), (0, 0), 22 / 39),
        ((1, 1, 1, 1), (0, 0, 0), 4024 / 7817),
        ((1, 1), (1,), 3 / 4),
        ((1, 1), (2,), 4 / 5),
        ((1, 1), (3,), 5 / 6),
    ],
)
def test_exponential_stations(
    cycles: tuple[int, ...], buffers: tuple[int, ...], value: float
) -> None:
    """Parts for each mean cycle of 1. Rates of 1 and 2 with a slow first station: 6/7 of a part
    for each two."""
    layout, start = saturated_lines(COPIES, [CYCLE * cycle for cycle in cycles], buffers)
    stations = [f"line {c} station {n}" for c in range(COPIES) for n in range(len(cycles))]
    told = Disturbances(paces=tuple(Pace(name, EXPONENTIAL) for name in stations))
    warm = run(layout, start, 200 * CYCLE, told)
    end = run(layout, warm, 8000 * CYCLE, told)
    last = len(cycles) - 1
    rates = [
        (b - a) / 8000
        for a, b in zip(ended(warm, COPIES, last), ended(end, COPIES, last), strict=True)
    ]
    mean, error = mean_and_error(rates)
    assert error < 0.003 * value
    assert abs(mean - value) <= 3.5 * error + value * MOVE / CYCLE


@pytest.mark.slow
@pytest.mark.parametrize(
    ("stations", "clock", "down", "repair", "repairs", "near", "value"),
    [
        (10, "work", Fraction(1, 10), 10_000, 300, 0.01, 1 / 2),
        (10, "time", Fraction(1, 10), 10_000, 300, 0.01, (1 / 1.1) ** 10),
        (3, "work", Fraction(1, 20), 2000, 3000, 0.003, 1 / 1.15),
    ],
)
def test_a_line_without_buffers_of_stations_that_fail(
    stations: int, clock: str, down: Fraction, repair: int, repairs: int, near: float, value: float
) -> None:
    """Repairs take `down` of the time to a failure. Failures that count work: 1 / (1 + sum of MTTR
    / MTBF); all time: the product of the availabilities.

    Parts need a few ticks from station to station, in which nobody works: MTBF is put into working
    time by the share of it in a line that does not fail. A repair takes 100 or 500 cycles, and a
    station still ends its cycle when another fails: hence a tolerance beside the errors, larger for
    many stations.
    """
    cycle, last = 20, stations - 1
    layout, start = saturated_lines(COPIES, [cycle] * stations, [0] * last)
    steady = run(layout, start, 100 * cycle, Disturbances())
    free = run(layout, steady, 1000 * cycle, Disturbances())
    most = Fraction(ended(free, 1, last)[0] - ended(steady, 1, last)[0], 1000 * cycle)
    up = repair / down * (most * cycle if clock == "work" else Fraction(1))
    told = Disturbances(
        failures=tuple(
            Failure(f"line {copy} station {number}", up, Fraction(repair), clock)
            for copy in range(COPIES)
            for number in range(stations)
        )
    )
    ticks = repairs * repair
    end = run(layout, steady, ticks, told)
    shares = [
        (b - a) / ticks / float(most)
        for a, b in zip(ended(steady, COPIES, last), ended(end, COPIES, last), strict=True)
    ]
    mean, error = mean_and_error(shares)
    assert error < near
    assert abs(mean - value) <= 3.5 * error + near * value
