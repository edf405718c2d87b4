"""Whether what is on a loop changes slowly, so that a run that looks well will not end well."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from loopwright.simulate.reading.count import warm_samples
from loopwright.simulate.reading.loops import Loop, loops_of
from loopwright.simulate.reading.student import t_quantile
from loopwright.simulate.reading.text import figure, listed, percent
from loopwright.simulate.run import Run

BATCHES = 10
"""Batches into which the samples after the warm-up are gathered."""

CONFIDENCE = Fraction(99, 100)
"""How sure the slope of the line through them must be."""

LEAST_CHANGE = Fraction(1, 50)
"""Share of the loop's cells that must change hands for a drift to be told."""


@dataclass(frozen=True, slots=True)
class Drift:
    """On `loop`, carriers of `material` become more or fewer by `slope` [carriers/s].

    `mean` [carriers] over the time read; at this pace the loop has none of it, or nothing else,
    after another `left` [s].
    """

    loop: Loop
    material: str
    mean: Fraction
    slope: Fraction
    left: Fraction

    @property
    def sentence(self) -> str:
        """What drifts, how fast, and when it ends."""
        less = self.slope < 0
        course = "falls" if less else "rises"
        end = f"there is no {self.material} left" if less else f"it holds {self.material} only"
        share = percent(self.mean / self.loop.cells)
        return (
            f"on {listed(self.loop.belts)} the number of carriers of {self.material}, {share} of "
            f"the cells in the mean, {course} by {figure(abs(self.slope) * 3600)} an hour; at this "
            f"pace {end} after another {figure(self.left / 3600)} h"
        )


def drifts(run: Run) -> tuple[Drift, ...]:
    """The drifts of all loops, the one that ends soonest first.

    The carriers of a material on a loop, sampled at the end of each bin after the warm-up, are
    averaged in `BATCHES` batches. Through these goes the line of least squares. A drift is told if
    its slope differs from 0 at `CONFIDENCE` and moves `LEAST_CHANGE` of the cells in that time.
    """
    return tuple(sorted(_drifts(run), key=lambda one: one.left))


def _drifts(run: Run) -> Iterator[Drift]:
    samples = run.samples
    if samples is None:
        return
    size = (len(samples) - warm_samples(run)) // BATCHES
    if size < 1:
        return
    number = {name: index for index, name in enumerate(samples.belts)}
    for loop in loops_of(run.layout):
        belts = [number[name] for name in loop.belts]
        counts = samples.carriers[-size * BATCHES :, belts].sum(axis=1)
        for material, name in enumerate(samples.materials):
            series = counts[:, material].tolist()
            means = [
                Fraction(sum(series[at : at + size]), size) for at in range(0, len(series), size)
            ]
            line = _line(means)
            if line is None:
                continue
            mean, per_batch = line
            slope = per_batch / (size * run.scenario.bin)
            if abs(per_batch) * BATCHES < LEAST_CHANGE * loop.cells:
                continue
            room = series[-1] if slope < 0 else loop.cells - series[-1]
            yield Drift(loop, name, mean, slope, room / abs(slope))


def _line(values: Sequence[Fraction]) -> tuple[Fraction, Fraction] | None:
    """Mean and slope of the line through `values`; None where the slope may as well be 0."""
    count = len(values)
    mean = sum(values, Fraction(0)) / count
    middle = Fraction(count - 1, 2)
    across = sum(((place - middle) ** 2 for place in range(count)), Fraction(0))
    slope = sum(((place - middle) * value for place, value in enumerate(values)), Fraction(0))
    slope /= across
    off = (value - mean - slope * (place - middle) for place, value in enumerate(values))
    squares = sum((one * one for one in off), Fraction(0))
    if not slope:
        return None
    if squares:
        error = squares / (count - 2) / across
        if abs(float(slope)) <= t_quantile(float(CONFIDENCE), count - 2) * sqrt(error):
            return None
    return mean, slope
