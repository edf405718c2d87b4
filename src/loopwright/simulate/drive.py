"""From a start state to a run."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import ceil
from time import perf_counter

from loopwright.simulate.audit import audit
from loopwright.simulate.course import Aim, Course, Progress, Taken
from loopwright.simulate.decode import decode, decode_counters
from loopwright.simulate.encode import Plant, encode
from loopwright.simulate.fill import fill
from loopwright.simulate.interrupt import held_interrupt
from loopwright.simulate.limit import EngineLimitError
from loopwright.simulate.run import Run
from loopwright.simulate.samples import Sampler
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import Counters, State
from loopwright.simulate.trace.writer import TraceWriter
from loopwright.simulate.truncation import Truncation, mser5
from loopwright.simulate.wiring import Wiring

__all__ = ["Progress", "drive"]


def drive(
    wiring: Wiring,
    scenario: Scenario,
    start: State,
    progress: Progress | None = None,
    *,
    past: Run | None = None,
    until: Aim | None = None,
    target: Fraction | None = None,
    trace: TraceWriter | None = None,
) -> Run:
    """Carry out `scenario` from `start` on, or go on with it where `past` ended."""
    began = perf_counter()
    plant = _filled(wiring, scenario, start, start if past is None else past.end)
    course = Course(plant, scenario, start, past, trace)
    try:
        with held_interrupt() as stopped:
            ended = course.run(progress, stopped, until, target)
    except KeyboardInterrupt:
        if trace is not None:
            raise
        course.caught_up()
        ended = "interrupted"
    finally:
        if trace is not None:
            trace.close()
    end = decode(plant, start.tick + course.done)
    audit(wiring, start, end)
    taken = list(course.taken)
    if course.done > (course.whole_bin(len(taken) - 1) if len(taken) > 1 else 0):
        taken.append({name: dict(drain.units) for name, drain in end.counters.drains.items()})
    warm = course.warm if course.is_warm else end.counters
    truncation = None
    if scenario.find_warm_up:
        truncation = _truncation(course)
        scenario = replace(scenario, warm_up=truncation.dropped * scenario.bin)
        warm = _at_warm_up(wiring, scenario, start, course.sampler)
    return Run(
        layout=wiring.layout,
        scenario=scenario,
        tick=plant.tick,
        ticks=course.done,
        breaks=plant.breaks,
        start=start,
        warm=warm,
        end=end,
        bins=_bins(taken),
        wall=perf_counter() - began,
        ended=ended,
        samples=course.sampler.samples(),
        truncation=truncation,
    )


def _filled(wiring: Wiring, scenario: Scenario, start: State, now: State) -> Plant:
    """A plant in the state `now`, sized for all that can come of `start`."""
    try:
        plant = encode(wiring, scenario, start)
        fill(plant, now)
    except OverflowError as error:
        raise EngineLimitError(f"a number is too large for the engine: {error}") from error
    return plant


def _truncation(course: Course) -> Truncation:
    """How much of the rate series is warm-up."""
    tick, width = course.plant.tick, course.scenario.bin
    ends = [ceil(width * number / tick) for number in range(len(course.taken))]
    units = course.product_bins()
    return mser5(
        [Fraction(count, b - a) for count, (a, b) in zip(units, pairwise(ends), strict=True)]
    )


def _at_warm_up(wiring: Wiring, scenario: Scenario, start: State, sampler: Sampler) -> Counters:
    """The counters at the end of a warm-up found late: what was seen until then is run again."""
    first = replace(scenario, span=scenario.warm_up, find_warm_up=False)
    plant = _filled(wiring, first, start, start)
    again = Course(plant, first, start)
    again.run(None, lambda: False)
    sampler.take_warm(again.sampler)
    return decode_counters(plant)


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
