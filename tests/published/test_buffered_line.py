"""Two stations that fail, with a buffer between them, by simulation.

Values: the closed form of the line of two machines with geometric times: S. B. Gershwin and I. C.
Schick,
Modeling and analysis of three-stage transfer lines, Operations Research 31, 1983; S. B. Gershwin,
Manufacturing Systems Engineering, 1994, ch. 3 (formula from memory; it was held against a Markov
chain of its own, to twelve digits).

There, a slot is a cycle, and in each slot a station that works fails with chance p, one that is
down comes up with chance r. Here a slot is 200 ticks, and so are cycles; times between failures [of
work] and repairs are geometric in ticks with means of 1/p and 1/r slots, so failures fall within
cycles. N counts the part in the second station too.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.layout.layout import Layout
from loopwright.simulate.disturbance import Disturbances, Failure, Law
from loopwright.simulate.document import state_document
from loopwright.simulate.start import empty_state
from tests.layouts.build import Build
from tests.published.lines import mean_and_error, run

SLOT = 200
COPIES = 30


def production(p1: float, r1: float, p2: float, r2: float, places: int) -> float:
    """Parts a slot, from the stationary distribution in closed form."""
    below = p1 + p2 - p1 * p2 - p1 * r2
    above = p1 + p2 - p1 * p2 - r1 * p2
    up = r1 + r2 - r1 * r2 - r1 * p2
    down = r1 + r2 - r1 * r2 - p1 * r2
    y1, y2 = up / below, down / above
    x, last = y2 / y1, places - 1
    empty, full = x * up / (r1 * p2), x**last * down / (p1 * r2)
    weights = [empty, x, x * y2, x / p2 * up / above, full]
    weights += [x**last, x**last * y1, x**last / p1 * down / below]
    weights += [x**n * y1**a * y2**b for n in range(2, places - 1) for a in (0, 1) for b in (0, 1)]
    return r2 / (r2 + p2) * (1 - empty / sum(weights))


@pytest.mark.parametrize(
    ("p", "r", "places", "value"),
    [
        (0.1, 0.1, 4, 0.359375),
        (0.1, 0.1, 10, 0.397727),
        (0.01, 0.1, 4, 0.840936),
        (0.001, 0.01, 10, 0.836318),
    ],
)
def test_the_closed_form_gives_the_known_values(
    p: float, r: float, places: int, value: float
) -> None:
    assert production(p, r, p, r, places) == pytest.approx(value, abs=1e-6)


def lines(places: int) -> Layout:
    """Two stations each; the second holds one part beside that at work, the outlet of the first
    the rest of the places."""
    build = Build("ABC")
    for copy in range(COPIES):
        one = build.station(f"{copy} one", SLOT, {"A": 1}, {"B": 1}, {"A": 2}, places - 2)
        two = build.station(f"{copy} two", SLOT, {"B": 1}, {"C": 1}, {"B": 1}, 2)
        build.store(f"{copy} raw", 10**9)
        build.store(f"{copy} made", 10**9)
        build.picker(f"{copy} in", f"{copy} raw", one)
        build.picker(f"{copy} on", one, two)
        build.picker(f"{copy} out", two, f"{copy} made")
    return build.layout()


@pytest.mark.slow
@pytest.mark.parametrize(("p", "r", "places"), [("1/100", "1/10", 4), ("1/100", "1/10", 10)])
def test_two_stations_that_fail(p: str, r: str, places: int) -> None:
    layout = lines(places)
    start = state_document(empty_state(layout))
    for copy in range(COPIES):
        start["stores"][f"{copy} raw"] = {"A": 10**8}
    up, down = SLOT / Fraction(p), SLOT / Fraction(r)
    told = Disturbances(
        failures=tuple(
            Failure(f"{copy} {name}", up, down, "work", Law("geometric"))
            for copy in range(COPIES)
            for name in ("one", "two")
        )
    )
    slots = 60_000
    warm = run(layout, start, 2_000 * SLOT, told)
    end = run(layout, warm, slots * SLOT, told)
    counts = [state["counters"]["stations"] for state in (warm, end)]
    rates = [
        (counts[1][f"{copy} two"]["ended"] - counts[0][f"{copy} two"]["ended"]) / slots
        for copy in range(COPIES)
    ]
    mean, error = mean_and_error(rates)
    value = production(*(float(Fraction(x)) for x in (p, r, p, r)), places)
    assert error < 0.003 * value
    assert abs(mean - value) <= 3.5 * error + 0.003 * value
