"""A run that is watched: stopped, turned back, and interfered with from some tick on.

It is bit for bit the run that `simulate_layout` makes: what is done to it becomes a part of the
layout or of the scenario from that tick on. To go back, it is brought to a mark and run again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from fractions import Fraction
from math import ceil

from loopwright.layout.layout import Layout
from loopwright.layout.rule import ruled_layout
from loopwright.simulate.clock import check_tick, whole_ticks
from loopwright.simulate.decode import decode
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.simulate import start_state
from loopwright.simulate.state import State
from loopwright.simulate.watch.diary import BEAT, Diary, Mark
from loopwright.simulate.watch.era import Era
from loopwright.simulate.watch.snapshot import put_back, take_snapshot
from loopwright.simulate.watch.standstill import Standstill, Watchman
from loopwright.simulate.watch.tally import Tally
from loopwright.simulate.watch.view import BLOCKED, DOWN, STARVED, View
from loopwright.simulate.work import run_plant

MINUTE = 12
"""Beats over which the present rate is told."""

FOR_EVER = Fraction(10**9)
"""Length of an outage that nobody has ended yet [s]."""


class Watch:
    """A run of `layout` under `scenario` that stands at `now` [tick] and was as far as `reach`.

    Raises
    ------
    LayoutError
        The devices do not fit each other.
    EngineLimitError
        Something is too large for the number formats of the engine.
    DesignError
        The tick of the layout is too fine.
    """

    def __init__(self, layout: Layout, scenario: Scenario, start: State | None = None) -> None:
        check_tick(layout)
        self.start = start_state(layout, scenario) if start is None else start
        self.eras = [Era(layout, scenario, self.start)]
        self._era = 0
        self.now = self.reach = self.start.tick
        self.tick = self.era.plant.tick
        wiring = self.era.plant.wiring
        self._products = [d.purpose == "product" for d in wiring.drains.values()]
        self.diary = Diary(sum(self._products))
        self._watchman = Watchman(self)
        self._note()

    @property
    def era(self) -> Era:
        """What holds at the present tick."""
        return self.eras[self._era]

    @property
    def layout(self) -> Layout:
        """The layout as it is at the present tick."""
        return self.era.layout

    @property
    def scenario(self) -> Scenario:
        """The scenario with all that was done up to the present tick."""
        return self.era.scenario

    @property
    def time(self) -> Fraction:
        """The present [s]."""
        return self.now * self.tick

    @property
    def standstill(self) -> Standstill | None:
        """What stands for good at the present tick."""
        return self._watchman.told

    @property
    def known_standstill(self) -> Standstill | None:
        """What stands for good at some tick up to `reach`."""
        return self._watchman.known

    def beat_tick(self, beat: int) -> int:
        """The tick of a beat."""
        return self.start.tick + ceil(BEAT * beat / self.tick)

    @property
    def beat(self) -> int:
        """The last beat at or before the present tick."""
        beat = int((self.now - self.start.tick) * self.tick // BEAT)
        return beat if self.beat_tick(beat) <= self.now else beat - 1

    def run_to(self, tick: int, stopped: Callable[[], bool] = lambda: False) -> None:
        """Run on to `tick`, or to some beat before it when `stopped` says so."""
        while self.now < tick and not stopped():
            beat = self.beat_tick(self.beat + 1)
            stop = min(tick, beat)
            ends = self.eras[self._era + 1].first if self._era + 1 < len(self.eras) else None
            if ends is not None and ends <= stop:
                self._enter(self._era + 1)
                stop = ends
            else:
                run_plant(self.era.plant, stop)
            self.now = stop
            self.reach = max(self.reach, stop)
            if stop == beat:
                self._note()
        while self._era + 1 < len(self.eras) and self.eras[self._era + 1].first <= self.now:
            self._enter(self._era + 1)

    def wake(self) -> None:
        """Load the engine, or compile it, which takes a while the first time after set-up."""
        run_plant(self.era.plant, self.now)

    def view(self) -> View:
        """What everything looks like now."""
        return self.era.lens.look(self.now)

    def tally(self) -> Tally:
        """All counters now."""
        return self.era.clerk.take(self.now)

    def state(self) -> State:
        """The whole state now, by name."""
        return decode(self.era.plant, self.now)

    def seek(self, time: Fraction, stopped: Callable[[], bool] = lambda: False) -> None:
        """Go to the first tick not before `time` [s]: back, or on."""
        tick = max(self.start.tick, whole_ticks(time, self.tick))
        mark = self.diary.before(tick)
        if tick < self.now or (mark is not None and mark.tick > self.now):
            assert mark is not None
            self._enter(mark.era)
            put_back(self.era.plant, mark.snapshot)
            self.now = mark.tick
            self.diary.recent.clear()
            self._watchman.look_again()
        self.run_to(tick, stopped)

    def supply(self, sources: Iterable[str], on: bool) -> None:
        """From the next tick on, `sources` give nothing, or give again.

        Raises
        ------
        KeyError
            There is no such source.
        """
        names = [self.era.plant.wiring.sources[name].name for name in sources]
        first = (self.now + 1) * self.tick
        kept: list[Outage] = []
        for outage in self.scenario.outages:
            covers = outage.start <= first < outage.start + outage.span
            if outage.source not in names or not covers:
                kept.append(outage)
            elif outage.start < first:
                kept.append(replace(outage, span=first - outage.start))
        if not on:
            kept += [Outage(name, first, FOR_EVER) for name in names]
        if tuple(kept) != self.scenario.outages:
            self._begin(self.layout, replace(self.scenario, outages=tuple(kept)), "")

    def stopped_sources(self) -> tuple[str, ...]:
        """The sources that give nothing at the next tick because of an outage."""
        first = (self.now + 1) * self.tick
        out = {o.source for o in self.scenario.outages if o.start <= first < o.start + o.span}
        return tuple(name for name in self.era.plant.wiring.sources if name in out)

    def rule(self, names: Iterable[str], rule: str) -> None:
        """From the next tick on, the merges, diverts or gates `names` follow `rule`.

        Raises
        ------
        ValueError
            One cannot, or there is none of that name.
        """
        layout, names = self.layout, tuple(names)
        for name in names:
            layout = ruled_layout(layout, name, rule)
        if layout != self.layout:
            self._begin(layout, self.scenario, f"{', '.join(names)}: {rule}")

    def rate(self) -> Fraction:
        """Units of product a second over the last minute, or since the start."""
        last, then = self.now, max(0, self.beat - MINUTE)
        span = (last - self.beat_tick(then)) * self.tick
        return Fraction(self.made() - self.diary.total(then)) / span if span else Fraction(0)

    def made(self) -> int:
        """Units of product since the start of the counters."""
        return sum(self._made())

    def _made(self) -> list[int]:
        units = [0] * len(self._products)
        names = {name: n for n, name in enumerate(self.era.plant.wiring.drains)}
        for members, part in zip(self.era.plant.members, self.era.plant.parts, strict=True):
            for name, row in zip(members.drains, part.joints.drained_units, strict=True):
                units[names[name]] = int(row.sum())
        return [count for count, product in zip(units, self._products, strict=True) if product]

    def _note(self) -> None:
        """What is noted at a beat; nothing is noted twice."""
        beat, view = self.beat, self.view()
        diary = self.diary
        if beat == len(diary):
            diary.note(self._made(), view.doing(BLOCKED), view.doing(STARVED), view.doing(DOWN))
        diary.recent.append((self.now, view.cells))
        if diary.is_due(beat, self.now):
            snapshot = take_snapshot(self.era.plant)
            diary.keep(Mark(self.now, self._era, snapshot, self.tally()))
        self._watchman.look()

    def _enter(self, era: int) -> None:
        """Stand at the beginning of an era."""
        self._era = era
        put_back(self.era.plant, self.era.snapshot)
        self.now = self.era.first
        self._watchman.look_again()

    def _begin(self, layout: Layout, scenario: Scenario, words: str) -> None:
        """Begin a new era now; what was after it never happened."""
        era = Era(layout, scenario, self.state(), words)
        replaces = self._era > 0 and self.era.first == self.now
        del self.eras[self._era + (not replaces) :]
        self.eras.append(era)
        self._era = len(self.eras) - 1
        self.reach = self.now
        self.diary.forget(self.now, self.beat + 1, self._era)
        self._watchman.forget()
