"""One layout and one case -> one row of numbers, exact and the same on every machine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from loopwright.compare.stress.case import MIX, OUTAGE, SHORTAGE, Case
from loopwright.compare.stress.disturb import mishaps, one_material, with_shortage
from loopwright.layout.layout import Layout
from loopwright.prove.recover.edit import state_of_part
from loopwright.prove.rings import find_rings
from loopwright.prove.stuck import is_stuck
from loopwright.simulate import simulate_layout
from loopwright.simulate.clock import layout_tick
from loopwright.simulate.disturbance import NO_DISTURBANCES, Disturbances
from loopwright.simulate.prime import primed_state
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.start import empty_state

CLOSE = Fraction(99, 100)
"""Share of full rate that counts as full."""


@dataclass(frozen=True, slots=True)
class Row:
    """What came of a case. `during` and `after` are shares of what all stations can make: while the
    disturbance lasts, and long after; `time` [s] is from its end to full rate, None where that was
    not seen; `jams` are the loops that stand for good in the end."""

    case: Case
    during: Fraction
    after: Fraction
    time: Fraction | None
    jams: tuple[str, ...]


def measure_case(layout: Layout, case: Case) -> Row:
    """Run `layout` through `case`.

    Raises
    ------
    KeyboardInterrupt
        Somebody stopped the run.
    """
    floor = _Floor(layout)
    calm = ceil(floor.turn * 4 + floor.cycle * 10)
    if case.kind == MIX:
        floor.state = one_material(layout, floor.state, case.material)
        during = floor.share(Fraction(calm))
    else:
        floor.on(Fraction(calm))
        during = _disturbed(floor, case, Fraction(calm))
    time = floor.come_back()
    floor.on(Fraction(ceil(20 * floor.turn + 40 * floor.cycle)))
    after = floor.share(Fraction(ceil(40 * floor.cycle)))
    stuck = [ring.name for ring in find_rings(layout) if is_stuck(layout, ring, floor.state)]
    return Row(case, during, after, time, tuple(stuck))


def rate_from_empty(layout: Layout) -> Fraction:
    """The share of what all stations can make, long after an empty start.

    Raises
    ------
    KeyboardInterrupt
        Somebody stopped the run.
    """
    floor = _Floor(layout)
    floor.state = empty_state(layout)
    floor.on(Fraction(ceil(24 * floor.turn + 50 * floor.cycle)))
    return floor.share(Fraction(ceil(40 * floor.cycle)))


def _disturbed(floor: _Floor, case: Case, calm: Fraction) -> Fraction:
    if case.kind == OUTAGE:
        return floor.share(case.span, case.material)
    if case.kind == SHORTAGE:
        whole, short = floor.layout, with_shortage(floor.layout, case.material, case.share)
        floor.take(short)
        during = floor.share(case.span)
        floor.take(whole)
        return during
    told = mishaps(floor.layout, floor.state, case)
    return floor.share(case.span or calm, told=told)


class _Floor:
    """A layout that is run piece by piece, from a primed start."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.state = primed_state(layout)
        self.tick = layout_tick(layout)
        recipes = {recipe.name: recipe for recipe in layout.recipes}
        cycles = [recipes[station.recipe].cycle for station in layout.stations]
        self.cycle = max(cycles, default=Fraction(1))
        self.full = sum((1 / cycle for cycle in cycles), Fraction(0))
        rings = find_rings(layout)
        lengths: Mapping[str, Fraction] = {
            belt.name: len(belt.path) / belt.speed for belt in layout.belts
        }
        self.turn = max(
            (sum((lengths[belt] for belt in ring.belts), Fraction(0)) for ring in rings),
            default=max(lengths.values(), default=Fraction(1)),
        )

    def take(self, layout: Layout) -> None:
        """Go on with `layout`, which differs in the rates of docks only."""
        credits = {s.name: Fraction(0) for s in layout.sources if s.rate is not None}
        state = replace(self.state, credits={**credits, **self.state.credits})
        self.layout, self.state = layout, state_of_part(state, layout)
        self.tick = layout_tick(layout)

    def on(self, span: Fraction, missing: str = "", told: Disturbances = NO_DISTURBANCES) -> None:
        """Run for `span` [s], with all docks of `missing` stopped, and what is `told` going on."""
        now = self.state.tick * self.tick
        outages = tuple(
            Outage(source.name, now, span)
            for source in self.layout.sources
            if source.material == missing
        )
        scenario = Scenario("stress", "primed", span, Fraction(0), span, outages, disturbances=told)
        run = simulate_layout(self.layout, scenario, start=self.state)
        if run.ended == "interrupted":
            raise KeyboardInterrupt
        self.state = run.end

    def share(
        self, span: Fraction, missing: str = "", told: Disturbances = NO_DISTURBANCES
    ) -> Fraction:
        """Run for `span` [s]; the share of all that stations can make in it."""
        before = self._ended()
        self.on(span, missing, told)
        return (self._ended() - before) / (self.full * span) if self.full else Fraction(0)

    def come_back(self) -> Fraction | None:
        """Run until a look shows full rate; when that look began [s], None if none does."""
        look = Fraction(ceil(max(self.turn, 4 * self.cycle)))
        for number in range(40):
            if self.share(look) >= CLOSE:
                return number * look
        return None

    def _ended(self) -> int:
        return sum(count.ended for count in self.state.counters.stations.values())
