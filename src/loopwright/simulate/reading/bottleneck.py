"""Which stations are the bottleneck, by how long they work without a wait.

The active period method: Roser, Nakano and Tanaka, A practical bottleneck detection method (2001),
Shifting bottleneck detection (2002), Comparison of bottleneck detection methods for AGV systems
(2003), all Winter Simulation Conference. A station is active while it does not wait for another;
the one with the longest active period is the bottleneck of that time. Here the periods are read
from the samples: a station is active in a bin if it was neither blocked nor starved for one tick.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

import numpy as np

from loopwright.simulate.columns import Array
from loopwright.simulate.reading.count import warm_ticks
from loopwright.simulate.reading.text import figure, listed, percent
from loopwright.simulate.run import Run

ALIKE = Fraction(9, 10)
"""Rows whose mean active period is this share of the longest, or more, are named together."""


@dataclass(frozen=True, slots=True)
class ActivePeriods:
    """Of the stations of one row: the mean active period [s], and the share of the bins in which
    one of them had the longest active period of all (shared where stations of several rows had)."""

    row: str
    stations: int
    mean: Fraction
    share: Fraction


@dataclass(frozen=True, slots=True)
class Bottleneck:
    """Rows by mean active period, the longest first; `bin` [s], `span` [s] of what was read."""

    rows: tuple[ActivePeriods, ...]
    bin: Fraction
    span: Fraction

    @property
    def named(self) -> tuple[str, ...]:
        """The rows that are the bottleneck; none where no station works through a whole bin."""
        if not self.rows or not self.rows[0].mean:
            return ()
        least = self.rows[0].mean * ALIKE
        return tuple(row.row for row in self.rows if row.mean >= least)

    @property
    def sentence(self) -> str:
        """What the bottleneck is, in words."""
        if not self.named:
            return (
                f"no station works for {figure(self.bin)} s without a wait: the bottleneck is not "
                f"a station, but what feeds or relieves them"
            )
        first = self.rows[0]
        alike = len(self.named) == len(self.rows) > 1
        names = "all rows alike" if alike else listed([row or "stations" for row in self.named])
        text = f"bottleneck {names}: {figure(first.mean)} s of work without a wait in the mean"
        rest = self.rows[len(self.named) :]
        if rest:
            text += f", next {rest[0].row or 'stations'} with {figure(rest[0].mean)} s"
        if len(self.named) == 1 and len(self.rows) > 1:
            text += f"; it had the longest such time in {percent(first.share)} of the bins"
        return text


def bottleneck(run: Run) -> Bottleneck | None:
    """The bottleneck of `run` after the warm-up; None where there are no samples."""
    samples = run.samples
    if samples is None:
        return None
    first = ceil(warm_ticks(run) * run.tick / run.scenario.bin)
    waiting = np.concatenate([_at_start(run, samples.stations)[None], samples.waiting])[first:]
    if len(waiting) < 2:
        return None
    active = np.diff(waiting, axis=0) == 0
    lengths = _lengths(active)
    longest = lengths.max(axis=1, initial=0)
    leads = active & (lengths == longest[:, None])
    shared = leads / np.maximum(leads.sum(axis=1), 1)[:, None]
    with_leader = int((longest > 0).sum())
    rows: dict[str, list[int]] = {}
    number = {name: index for index, name in enumerate(samples.stations)}
    for station in run.layout.stations:
        rows.setdefault(station.row, []).append(number[station.name])
    found = []
    for row, members in rows.items():
        bins = int(active[:, members].sum())
        periods = int(_begun(active[:, members]).sum())
        mean = Fraction(bins, periods) * run.scenario.bin if periods else Fraction(0)
        led = Fraction(float(shared[:, members].sum())).limit_denominator(10**6)
        share = led / with_leader if with_leader else Fraction(0)
        found.append(ActivePeriods(row, len(members), mean, share))
    found.sort(key=lambda one: -one.mean)
    return Bottleneck(tuple(found), run.scenario.bin, len(active) * run.scenario.bin)


def _at_start(run: Run, stations: tuple[str, ...]) -> Array:
    """The waiting time that each station had at the start of the run [ticks]."""
    counts = [run.start.counters.stations[name] for name in stations]
    return np.array([count.blocked + sum(count.starved.values()) for count in counts], np.int64)


def _begun(active: Array) -> Array:
    """Where an active period begins."""
    begun = active.copy()
    begun[1:] &= ~active[:-1]
    return begun


def _lengths(active: Array) -> Array:
    """For each bin and station the bins of the active period that it is in, 0 outside any."""
    lengths = np.zeros(active.shape, np.int64)
    ahead = np.zeros(active.shape[1], np.int64)
    for at in range(len(active)):
        ahead = np.where(active[at], ahead + 1, 0)
        lengths[at] = ahead
    for at in range(len(active) - 2, -1, -1):
        lengths[at] = np.where(active[at] & active[at + 1], lengths[at + 1], lengths[at])
    return lengths
