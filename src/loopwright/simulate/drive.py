"""Calls the kernel bin by bin, and gathers what a run gives."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import pairwise
from time import perf_counter

from loopwright.simulate.audit import audit
from loopwright.simulate.clock import whole_ticks
from loopwright.simulate.decode import decode, decode_counters, decode_drains
from loopwright.simulate.encode import Plant, encode
from loopwright.simulate.fill import fill
from loopwright.simulate.limit import EngineLimitError
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import DrainCount, State
from loopwright.simulate.wiring import Wiring

Progress = Callable[[float], None]
Taken = dict[str, dict[str, int]]


def drive(wiring: Wiring, scenario: Scenario, start: State, progress: Progress | None) -> Run:
    """Carry out `scenario` from `start` on."""
    began = perf_counter()
    try:
        plant = encode(wiring, scenario, start)
        fill(plant, start)
    except OverflowError as error:
        raise EngineLimitError(f"a number is too large for the engine: {error}") from error
    ticks = whole_ticks(scenario.span, plant.tick)
    warm_at = min(whole_ticks(scenario.warm_up, plant.tick), ticks)
    warm = start.counters
    taken = [_taken(start.counters.drains)]
    done = 0
    try:
        for stop in _stops(plant, scenario, ticks):
            if done < warm_at <= stop:
                run_plant(plant, start.tick + warm_at)
                done, warm = warm_at, decode_counters(plant)
            run_plant(plant, start.tick + stop)
            done = stop
            taken.append(_taken(decode_drains(plant)))
            if progress is not None:
                progress(done / ticks if ticks else 1.0)
    except KeyboardInterrupt:
        done = _catch_up(plant, start.tick)
        taken.append(_taken(decode_drains(plant)))
        if done < warm_at:
            warm = decode_counters(plant)
    end = decode(plant, start.tick + done)
    audit(wiring, start, end)
    return Run(
        layout=wiring.layout,
        scenario=scenario,
        tick=plant.tick,
        ticks=done,
        breaks=plant.breaks,
        start=start,
        warm=warm,
        end=end,
        bins=_bins(taken),
        wall=perf_counter() - began,
    )


def _stops(plant: Plant, scenario: Scenario, ticks: int) -> list[int]:
    """The ends of the bins, in ticks from the start."""
    if scenario.bin <= 0:
        raise ValueError(f"{scenario.name}: a bin of {scenario.bin} s")
    stops: list[int] = []
    while not stops or stops[-1] < ticks:
        end = whole_ticks(scenario.bin * (len(stops) + 1), plant.tick)
        stops.append(min(end, ticks))
    return stops


def run_plant(plant: Plant, until: int) -> None:
    """Carry out the ticks up to `until` in every part; parts do not touch each other."""
    from loopwright.simulate.kernel.tick import run_to

    for part in plant.parts:
        run_to(part, until)


def _catch_up(plant: Plant, start: int) -> int:
    """After an interrupt: bring all parts to the same tick; the ticks done since `start`."""
    reached = max((int(part.clock.time[0].now) for part in plant.parts), default=start)
    run_plant(plant, reached)
    return reached - start


def _taken(drains: Mapping[str, DrainCount]) -> Taken:
    """Units taken so far by each drain."""
    return {name: dict(drain.units) for name, drain in drains.items()}


def _bins(taken: list[Taken]) -> dict[str, tuple[dict[str, int], ...]]:
    """What each drain took between the entries of `taken`."""
    return {
        name: tuple(
            {
                material: units - before[name].get(material, 0)
                for material, units in after[name].items()
            }
            for before, after in pairwise(taken)
        )
        for name in taken[0]
    }
