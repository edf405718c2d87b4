"""A run on its way: carried out bin by bin, looked at after each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import Literal

from loopwright.simulate.clock import cycles_of, whole_ticks
from loopwright.simulate.decode import decode_counters, decode_drains
from loopwright.simulate.draw import longest
from loopwright.simulate.encode import Plant
from loopwright.simulate.pace import full_rate_bin
from loopwright.simulate.run import Ended, Run
from loopwright.simulate.samples import Sampler
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import DrainCount, State
from loopwright.simulate.trace.writer import TraceWriter
from loopwright.simulate.work import run_plant

Aim = Literal["full-rate", "jam"]
"""What a run may be told to run to."""

Progress = Callable[[float], None]
Taken = dict[str, dict[str, int]]


class Course:
    """Carries out `scenario` on `plant` from `start` on, or goes on where `past` ended.

    `done` [ticks] is what is carried out, `taken` the units that each drain had taken at the start
    and at the end of each whole bin.
    """

    def __init__(
        self,
        plant: Plant,
        scenario: Scenario,
        start: State,
        past: Run | None = None,
        trace: TraceWriter | None = None,
    ) -> None:
        if scenario.bin <= 0:
            raise ValueError(f"{scenario.name}: a bin of {scenario.bin} s")
        self.plant, self.scenario, self.start = plant, scenario, start
        self.ticks = whole_ticks(scenario.span, plant.tick)
        self.warm_at = 0
        if not scenario.find_warm_up:
            self.warm_at = min(whole_ticks(scenario.warm_up, plant.tick), self.ticks)
        self.done = 0
        self.warm = start.counters
        self.taken = [_taken(start.counters.drains)]
        self.sampler = Sampler(plant, None if past is None else past.samples)
        self._trace = trace
        if past is not None:
            self._go_on(past)
        if trace is not None:
            trace.begin(plant, start.tick)

    @property
    def is_warm(self) -> bool:
        """Whether the warm-up is over."""
        return self.done >= self.warm_at

    def whole_bin(self, number: int) -> int:
        """The end of bin `number`, counted from 1, in ticks from the start."""
        return ceil(self.scenario.bin * number / self.plant.tick)

    def run(
        self,
        progress: Progress | None,
        stopped: Callable[[], bool],
        until: Aim | None = None,
        target: Fraction | None = None,
    ) -> Ended:
        """Run to the end, to the aim `until`, or until `stopped`."""
        while self.done < self.ticks:
            if stopped():
                return "interrupted"
            if until is not None and self._reached(until, target):
                return until
            self._next_bin()
            if progress is not None:
                progress(self.done / self.ticks)
        return "span"

    def caught_up(self) -> None:
        """After an interrupt in the middle: bring all parts to the same tick."""
        reached = {int(part.clock.time[0].now) for part in self.plant.parts}
        furthest = max(reached, default=self.start.tick) - self.start.tick
        if len(reached) > 1:
            self._advance(furthest)
        self.done = furthest

    def _next_bin(self) -> None:
        whole = self.whole_bin(len(self.taken))
        stop = min(whole, self.ticks)
        warms = self.done < self.warm_at <= stop
        if warms:
            self._advance(self.warm_at)
            self.warm = decode_counters(self.plant)
            if self.warm_at < whole:
                self.sampler.mark_warm()
        self._advance(stop)
        if stop == whole:
            self.taken.append(_taken(decode_drains(self.plant)))
            self.sampler.take()
            if warms and self.warm_at == whole:
                self.sampler.mark_warm()

    def _advance(self, until: int) -> None:
        """Carry out the ticks up to `until`."""
        tick = self.start.tick + until
        if self._trace is None:
            run_plant(self.plant, tick)
        else:
            self._trace.advance(tick)
        self.done = until

    def _go_on(self, past: Run) -> None:
        """Take over what `past` came to."""
        if past.samples is None:
            raise ValueError("a run without samples cannot be gone on with")
        if past.ticks > self.ticks:
            raise ValueError(f"the run has {past.ticks} ticks already, more than {self.ticks}")
        if past.scenario.bin != self.scenario.bin:
            raise ValueError(f"the run has bins of {past.scenario.bin} s, not {self.scenario.bin}")
        self.done = past.ticks
        if past.ticks >= self.warm_at:
            self.warm = past.warm
        for number in range(1, len(past.samples) + 1):
            before = self.taken[-1]
            after = {name: dict(units) for name, units in before.items()}
            for name, bins in past.bins.items():
                for material, units in bins[number - 1].items():
                    after[name][material] = after[name].get(material, 0) + units
            self.taken.append(after)

    def _reached(self, until: Aim, target: Fraction | None) -> bool:
        if until == "jam":
            return self._stands()
        if target is None:
            raise ValueError("full rate of what? a target is needed")
        return full_rate_bin(self.product_bins(), self.scenario.bin, target) is not None

    def product_bins(self) -> list[int]:
        """Units that product drains took in each whole bin."""
        drains = self.plant.wiring.drains.values()
        names = [drain.name for drain in drains if drain.purpose == "product"]
        totals = [sum(sum(taken[name].values()) for name in names) for taken in self.taken]
        return [after - before for before, after in pairwise(totals)]

    def _stands(self) -> bool:
        """Whether nothing has moved for so long that nothing will; see `quiet_time`."""
        quiet = quiet_time(self.plant, self.scenario)
        bins = max(2, ceil(quiet / self.scenario.bin))
        now = (self.start.tick + self.done) * self.plant.tick
        for outage in self.scenario.outages:
            begin, end = outage.start, outage.start + outage.span
            if begin < now and end > now - bins * self.scenario.bin:
                return False
        return self.sampler.quiet(bins)


def quiet_time(plant: Plant, scenario: Scenario) -> Fraction:
    """How long nothing may move in a line that runs [s]: twice the sum of the longest cycle, the
    longest time between the carriers of a source, the longest swing and all belts on end."""
    wiring = plant.wiring
    cycles = [cycle for recipe in wiring.recipe.values() for cycle in cycles_of(recipe)]
    gaps = [1 / source.rate for source in wiring.sources.values() if source.rate]
    swings = [picker.swing for picker in wiring.pickers.values()]
    ways = [len(belt.path) / belt.speed for belt in wiring.belts.values()]
    told = scenario.disturbances
    cycles += [
        longest(pace.law, max(cycles_of(wiring.recipe[pace.station]))) for pace in told.paces
    ]
    cycles += [cycle / brown.speed for brown in told.brown_outs for cycle in cycles]
    cycles += [longest(failure.law, failure.down) for failure in told.failures]
    gaps += [1 / supply.rate for supply in told.supplies if supply.rate]
    gaps += [longest(entry.law, gap) for entry in told.arrivals for gap in gaps]
    ways += [slow.every * way for slow in told.slow for way in ways]
    longest_of = [max(times, default=Fraction(0)) for times in (cycles, gaps, swings, ways)]
    return 2 * sum(longest_of, Fraction(0))


def _taken(drains: Mapping[str, DrainCount]) -> Taken:
    """Units taken so far by each drain."""
    return {name: dict(drain.units) for name, drain in drains.items()}
