"""One station and its queue by simulation: M/M/1 with a bound on all that wait, and without; M/D/1.

Values: the stationary distribution of a birth and death process, as in every book on queues: with
load 4/5 and room for 5, 1024/11529 of all arrivals find it full; with load 1, 1/6. Without a bound,
load 4/5: 4 in the system on average; with cycles that are all alike 2.4 (Pollaczek and Khinchine:
2 mean cycles of waiting).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright.layout.layout import Layout
from loopwright.simulate.disturbance import Arrivals, Disturbances, Law, Pace
from loopwright.simulate.document import state_document
from loopwright.simulate.start import empty_state
from tests.layouts.build import Build
from tests.published.lines import mean_and_error, run

COPIES = 30
CYCLE = 1000
EXPONENTIAL = Law("exponential")


def queues(gap: int, most: int | None) -> tuple[Layout, Disturbances]:
    """A dock, a cell, a picker and a station that holds one part besides that it works on."""
    build = Build("A")
    for copy in range(COPIES):
        belt = build.belt(f"{copy} belt", 1)
        build.source(belt, "A", f"1/{gap}", name=f"{copy} dock")
        build.station(f"{copy} m", CYCLE, {"A": 1}, {}, {"A": 1})
        build.picker(f"{copy} p", (belt, 0), f"{copy} m")
    return build.layout(), Disturbances(
        paces=tuple(Pace(f"{copy} m", EXPONENTIAL) for copy in range(COPIES)),
        arrivals=tuple(Arrivals(f"{copy} dock", EXPONENTIAL, most) for copy in range(COPIES)),
    )


@pytest.mark.slow
@pytest.mark.parametrize(("gap", "value"), [(1250, 1024 / 11529), (1000, 1 / 6)])
def test_a_full_system_turns_arrivals_away(gap: int, value: float) -> None:
    """Room for five: two at the dock, one on the cell, one beside the one at work."""
    layout, told = queues(gap, 2)
    end = run(layout, state_document(empty_state(layout)), 20_000 * CYCLE, told)
    counts = [end["counters"]["sources"][f"{copy} dock"] for copy in range(COPIES)]
    mean, error = mean_and_error([count["lost"] / count["arrived"] for count in counts])
    assert error < 0.01 * value
    assert abs(mean - value) <= 3.5 * error + 0.005 * value


@pytest.mark.slow
@pytest.mark.parametrize(("alike", "value"), [(False, 4), (True, 2.4)])
def test_without_a_bound(alike: bool, value: float) -> None:
    """Looked at 600 times, 40 mean cycles apart, on each of 30 lines."""
    layout, told = queues(1250, None)
    if alike:
        told = replace(told, paces=())
    state = run(layout, state_document(empty_state(layout)), 1000 * CYCLE, told)
    sums = [0] * COPIES
    for _ in range(600):
        state = run(layout, state, 40 * CYCLE, told)
        for copy in range(COPIES):
            station = state["stations"][f"{copy} m"]
            waiting = int(state["credits"][f"{copy} dock"]) + station["inputs"]["A"]
            moving = state["belts"][f"{copy} belt"][0] is not None
            swinging = state["pickers"][f"{copy} p"]["count"]
            sums[copy] += waiting + moving + swinging + (station["due"] is not None)
    mean, error = mean_and_error([total / 600 for total in sums])
    assert error < 0.1
    assert abs(mean - value) <= 3.5 * error + 0.02
