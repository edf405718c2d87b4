"""Speed of the compiled engine on blocks of stations fed by mixed rows, beside two SimPy models.

    python -m benchmarks simulate

All trials take turns, five rounds of them, so that what else the machine does meets them alike;
medians are given. A second is one of the process: that of the clock on a machine that is idle.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from time import perf_counter

from benchmarks.figure import Figure
from benchmarks.mixed_block import CASES, ROW, block
from benchmarks.peak import peak
from benchmarks.trial import (
    Trial,
    carrier_trial,
    placed_trial,
    plant_trial,
    stepped_trial,
    times_as_fast,
)
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario

ROUNDS = 5
STATIONS = 640
PLACED = "check, as placed"
SPEED_GOALS = {"bal": 30_000, "213": 30_000, "check": 9_000, PLACED: 9_000}
COST_GOAL = 60
LINEAR_GOAL = 0.8
STEPPED_GOAL, CARRIER_GOAL = 130, 3_000
MEMORY_GOALS = {640: 250, 64_000: 600}
SIZES = (6_400, 64_000)
LONGER = (4, 16)
LOADS = {"23 %": Fraction(256, 3), "45 %": Fraction(128, 3), "180 %": Fraction(32, 3)}
"""Cycles [s] that load the rows so far; at 90 % it is `bal` itself."""


def run() -> Iterator[Figure | str]:
    """All that is measured of the engine."""
    bal = CASES["bal"]
    began = perf_counter()
    engine = {name: plant_trial(case, STATIONS) for name, case in CASES.items()}
    yield f"first runs, with loading or compiling: {perf_counter() - began:.2f} s"
    engine[PLACED] = placed_trial()
    sizes = {size: plant_trial(bal, size) for size in SIZES}
    longer = {times: plant_trial(replace(bal, stretch=times), STATIONS) for times in LONGER}
    loads = {
        load: plant_trial(replace(bal, cycle=cycle), STATIONS) for load, cycle in LOADS.items()
    }
    one_row = plant_trial(bal, ROW)
    stepped = {
        ("bal", 1): stepped_trial(bal, 1),
        ("bal", 10): stepped_trial(bal, 10),
        ("213", 10): stepped_trial(CASES["213"], 10),
        ("check", 10): stepped_trial(CASES["check"], 10),
    }
    carriers = {("bal", rows): carrier_trial(bal, rows) for rows in (1, 10)}

    groups = (engine, sizes, longer, loads, {"": one_row}, stepped, carriers)
    trials = [trial for group in groups for trial in group.values()]
    gc.collect()
    gc.freeze()  # so that what the large blocks hold does not slow the SimPy models down
    for _ in range(ROUNDS):
        for trial in trials:
            trial.round()
    gc.unfreeze()

    yield from _speeds(engine)
    yield from _scaling(engine["bal"], sizes, longer, loads)
    for models, kind, goal in (
        (stepped, "steps belts", STEPPED_GOAL),
        (carriers, "process a carrier", CARRIER_GOAL),
    ):
        for (name, rows), trial in models.items():
            case = f"{name}, {rows * ROW} stations"
            yield Figure(case, f"SimPy, {kind}", trial.speed, "plant-s/s")
            whole = rows * ROW == STATIONS
            times = times_as_fast(engine[name] if whole else one_row, trial)
            least = goal if whole else None
            yield Figure(case, f"engine to it, {kind}", times, "times as fast", at_least=least)
    del trials, groups, sizes
    for stations, most in MEMORY_GOALS.items():
        case = f"bal, {stations:,} stations"
        yield Figure(case, "most memory", peak(stations), "MB", at_most=most)
    yield _whole_call()


def _speeds(engine: dict[str, Trial]) -> Iterator[Figure]:
    for name, trial in engine.items():
        yield Figure(name, "speed", trial.speed, "plant-s/s", at_least=SPEED_GOALS[name])
        yield Figure(name, "a transfer", trial.cost(), "ns", at_most=COST_GOAL)


def _scaling(
    bal: Trial, sizes: dict[int, Trial], longer: dict[int, Trial], loads: dict[str, Trial]
) -> Iterator[Figure]:
    for size, trial in sizes.items():
        case = f"bal, {size:,} stations"
        share = times_as_fast(trial, bal) * size / STATIONS
        yield Figure(case, "speed", trial.speed, "plant-s/s")
        yield Figure(case, "speed x stations", share, "of that of 640", at_least=LINEAR_GOAL)
    for times, trial in longer.items():
        share = times_as_fast(bal, trial)
        yield Figure(f"bal, belts x {times}", "time", share, "of that of belts x 1")
    for load, trial in loads.items():
        yield Figure(f"bal, loaded to {load}", "speed", trial.speed, "plant-s/s")
        yield Figure(f"bal, loaded to {load}", "a transfer", trial.cost(), "ns")


def _whole_call() -> Figure:
    """With encoding, bins of 5 s, decoding and audit, by the clock."""
    layout = block(CASES["bal"], STATIONS)
    hour = Scenario("hour", "empty", Fraction(3600), Fraction(0), Fraction(5))
    began = perf_counter()
    simulate_layout(layout, hour)
    return Figure("bal", "an hour in bins of 5 s", perf_counter() - began, "s of the clock")
