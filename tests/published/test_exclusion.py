"""Exclusion with parallel update (rule 184) by simulation: rings of stores for one unit each.

A picker moves a unit on in one tick. Picks go by the names of stores, upstream first, so each sees
the next store as it was before: the update is parallel, other than that of belts, of which a whole
queue moves at once. Only the picker that closes the ring is the last to pick, and sees the first
store after its pick: so values hold to a cell or two of the ring.

Values: J = min(rho, 1 - rho) for every start (the case p = 1 of the parallel update in
Schreckenberg, Schadschneider, Nagel and Ito, Physical Review E 51, 1995, cited from memory). With
one place that refuses a passage with chance e: min(rho, 1 - rho, (1 - e) / (2 - e)); the current of
rule 184 with such a place is in Scoppola, Lancia and Mariani, Journal of Statistical Physics 2015,
of which the abstract only was read: the formula here was worked out anew, from the time 1 + (a
geometric number of refusals) that each unit takes out of the queue before the place.
"""

from __future__ import annotations

from fractions import Fraction
from random import Random
from typing import Any

import pytest

from loopwright.layout.layout import Layout
from loopwright.simulate.disturbance import Disturbances, Missed
from loopwright.simulate.document import state_document
from loopwright.simulate.start import empty_state
from tests.layouts.build import Build
from tests.published.lines import mean_and_error, run

CELLS = 200
COPIES = 30


def rings(copies: int, units: int) -> tuple[Layout, dict[str, Any]]:
    """Rings with their units in places by lot."""
    build = Build("A")
    for copy in range(copies):
        names = [build.store(f"{copy} cell {number}", 1) for number in range(CELLS)]
        for number, name in enumerate(names):
            build.picker(f"{copy} hand {number}", name, names[(number + 1) % CELLS])
    layout = build.layout()
    start = state_document(empty_state(layout))
    random = Random(1)
    for copy in range(copies):
        for number in random.sample(range(CELLS), units):
            start["stores"][f"{copy} cell {number}"] = {"A": 1}
    return layout, start


def currents(
    layout: Layout, start: dict[str, Any], copies: int, told: Disturbances, ticks: int
) -> list[Fraction]:
    """Units a tick that each ring passes on at half way round, after two laps."""
    warm = run(layout, start, 4 * CELLS, told)
    end = run(layout, warm, ticks, told)
    counts = [state["counters"]["picks"] for state in (warm, end)]
    hands = [f"{copy} hand {CELLS // 2}" for copy in range(copies)]
    return [Fraction(counts[1][hand] - counts[0][hand], ticks) for hand in hands]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("density", "value"),
    [("1/5", "1/5"), ("1/2", "1/2"), ("7/10", "3/10"), ("9/10", "1/10")],
)
def test_rule_184(density: str, value: str) -> None:
    """Below a half exactly; above it holes move on, which gain a step where the ring closes."""
    layout, start = rings(3, int(CELLS * Fraction(density)))
    for current in currents(layout, start, 3, Disturbances(), 10 * CELLS):
        if Fraction(density) <= Fraction(1, 2):
            assert current == Fraction(value)
        else:
            assert abs(current - Fraction(value)) <= Fraction(2, CELLS)


@pytest.mark.slow
@pytest.mark.parametrize(("refused", "value"), [("3/10", 7 / 17), ("1/2", 1 / 3)])
def test_rule_184_with_a_place_that_refuses(refused: str, value: float) -> None:
    """At half the places, where the slow place alone limits the current."""
    layout, start = rings(COPIES, CELLS // 2)
    told = Disturbances(
        missed=tuple(Missed(f"{copy} hand 0", Fraction(refused)) for copy in range(COPIES))
    )
    found = currents(layout, start, COPIES, told, 100 * CELLS)
    mean, error = mean_and_error([float(current) for current in found])
    assert error < 0.003 * value
    assert abs(mean - value) <= 3.5 * error + 2 / CELLS * value
