"""How much of the planned time made good product: availability, performance, quality.

Overall equipment effectiveness after Nakajima, Introduction to TPM (1988): the product of the
three, which is good units x ideal time / planned time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import prod

from loopwright.simulate.reading.readings import Readings
from loopwright.simulate.run import Run


@dataclass(frozen=True, slots=True)
class Effectiveness:
    """`planned` and `running` time [s], `ideal` time of a unit [s], units `made` and `good`.

    Of a row, times are summed over its stations. A station that waits is running: waiting lowers
    the performance, not the availability.
    """

    name: str
    planned: Fraction
    running: Fraction
    ideal: Fraction
    made: Fraction
    good: Fraction

    @property
    def availability(self) -> Fraction:
        """Running time / planned time."""
        return self.running / self.planned if self.planned else Fraction(0)

    @property
    def performance(self) -> Fraction:
        """What was made, in ideal time / running time."""
        return self.made * self.ideal / self.running if self.running else Fraction(0)

    @property
    def quality(self) -> Fraction:
        """Good units / units made."""
        return self.good / self.made if self.made else Fraction(0)

    @property
    def overall(self) -> Fraction:
        """Availability x performance x quality = good units x ideal time / planned time."""
        return self.good * self.ideal / self.planned if self.planned else Fraction(0)


def in_series(availabilities: Iterable[Fraction]) -> Fraction:
    """Availability of devices that fail independently and are all needed: the product."""
    return prod(availabilities, start=Fraction(1))


def row_effectiveness(run: Run, readings: Readings) -> Iterator[Effectiveness]:
    """The effectiveness of each row after the warm-up, counted in cycles.

    A unit is a cycle ended. Stations do not fail and make no bad units yet, so that availability
    and quality are 1 and what is lost is lost by waiting.
    """
    cycle = {recipe.name: recipe.cycle for recipe in run.layout.recipes}
    recipe = {station.name: station.recipe for station in run.layout.stations}
    for row in readings.rows:
        members = readings.stations_of(row.name)
        planned = readings.span * len(members)
        ideal = [cycle[recipe[one.name]] for one in members]
        ended = [
            run.end.counters.stations[one.name].ended - run.warm.stations[one.name].ended
            for one in members
        ]
        total = sum(ended)
        time = sum((a * b for a, b in zip(ended, ideal, strict=True)), Fraction(0))
        mean = time / total if total else Fraction(0)
        yield Effectiveness(row.name, planned, planned, mean, Fraction(total), Fraction(total))
