"""Lines of stations for checks against queueing theory: many copies in one layout, each of which
is a replication, for a device draws by its name alone."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from statistics import fmean, stdev
from typing import Any

from loopwright.layout.layout import Layout
from loopwright.simulate import simulate_layout
from loopwright.simulate.disturbance import Disturbances
from loopwright.simulate.document import state_document, state_from_document
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.start import empty_state
from tests.layouts.build import Build

MOVE = 4
"""Ticks that a part spends at most between two stations: a swing, a tick of the station that moves
it on, a swing, and one for the order of events."""


def saturated_lines(
    copies: int, cycles: Sequence[int], buffers: Sequence[int]
) -> tuple[Layout, dict[str, Any]]:
    """Lines that never lack raw parts, blocked after service: a finished part stays at its station
    until there is a place for it at the next. `buffers` are the places between the stations.

    A part moves on by a quick station of its own, which takes a finished part and a free place,
    and gives a part to work on and the place that has become free. All free places at first.
    """
    last = len(cycles)
    build = Build([f"{kind} {n}" for kind in ("work", "done", "free") for n in range(last + 1)])
    for copy in range(copies):
        name = f"line {copy}"
        for number, cycle in enumerate(cycles):
            build.station(
                f"{name} station {number}",
                cycle,
                {f"work {number}": 1},
                {f"done {number}": 1},
                {f"work {number}": 99},
                outlet_cap=99,
            )
        for number in range(last + 1):  # moves to the station of this number, or out of the line
            taken = {f"done {number - 1}": 1} if number else {}
            given = {f"free {number - 1}": 1} if number else {}
            if number < last:
                taken |= {f"free {number}": 1}
                given |= {f"work {number}": 1}
            caps = dict.fromkeys(taken, 99)
            build.station(f"{name} move {number}", 1, taken, given, caps, outlet_cap=99)
        for number in range(last):
            station, move, after = (
                f"{name} station {number}",
                f"{name} move {number}",
                f"{name} move {number + 1}",
            )
            build.picker(f"{name} load {number}", move, station)
            build.picker(f"{name} unload {number}", station, after)
            build.picker(f"{name} free {number}", after, move)
    layout = build.layout()
    start = state_document(empty_state(layout))
    places = [1, *(1 + buffer for buffer in buffers)]
    for copy in range(copies):
        for number, count in enumerate(places):
            start["stations"][f"line {copy} move {number}"]["inputs"][f"free {number}"] = count
    return layout, start


def run(
    layout: Layout, start: dict[str, Any], ticks: int, told: Disturbances, seed: int = 1
) -> dict[str, Any]:
    """The state `ticks` ticks on."""
    span = Fraction(ticks)
    plan = Scenario("check", "empty", span, Fraction(0), span, seed=seed, disturbances=told)
    end = simulate_layout(layout, plan, start=state_from_document(start)).end
    return state_document(end)


def ended(state: dict[str, Any], copies: int, station: int) -> list[int]:
    """Cycles that the station of this number ended, on each line."""
    count = state["counters"]["stations"]
    return [count[f"line {copy} station {station}"]["ended"] for copy in range(copies)]


def mean_and_error(values: Sequence[float]) -> tuple[float, float]:
    """The mean and its standard error."""
    return fmean(values), stdev(values) / len(values) ** 0.5
