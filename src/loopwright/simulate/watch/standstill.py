"""Whether a watched run, or a part of it, stands for good, and why."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from loopwright.simulate.course import quiet_time
from loopwright.simulate.decode import decode_counters
from loopwright.simulate.reading.limit import limits
from loopwright.simulate.reading.text import figure, listed
from loopwright.simulate.run import Run
from loopwright.simulate.state import Counters
from loopwright.simulate.watch.diary import BEAT

if TYPE_CHECKING:
    from loopwright.simulate.columns import Array
    from loopwright.simulate.watch.watch import Watch


@dataclass(frozen=True, slots=True)
class Standstill:
    """`rows` stand since `since` [s]; `whole` if nothing else goes on either; `sentence` says why,
    `because` what the devices around say, `belts` are those of the rows."""

    since: Fraction
    rows: tuple[str, ...]
    whole: bool
    sentence: str
    because: tuple[str, ...]
    belts: tuple[str, ...]


class Watchman:
    """Looks at every beat whether anything moved, part by part; parts do not touch each other."""

    def __init__(self, watch: Watch) -> None:
        self._watch = watch
        self.told: Standstill | None = None
        self._known: tuple[int, Standstill, tuple[int, ...]] | None = None
        self.look_again()

    @property
    def known(self) -> Standstill | None:
        """What was found to stand, now or at a later tick."""
        return self._known[1] if self._known else None

    def look_again(self) -> None:
        """Begin to look anew: the run was turned back. What stood for good then stands."""
        era = self._watch.era
        self._moves: Array = era.lens.moves()
        self._since = np.full(len(self._moves), self._watch.now, np.int64)
        self._quiet = ceil(quiet_time(era.plant, era.scenario) / era.plant.tick)
        self._counters: Counters | None = None
        self._count_tick = 0
        self._still: tuple[int, ...] = ()
        self.told = None
        if self._known is not None and self._watch.now >= self._known[0]:
            self.told = self._known[1]

    def forget(self) -> None:
        """The run was interfered with: from now on it is another one."""
        if self._known is not None and self._watch.now < self._known[0]:
            self._known = None
        self.look_again()

    def look(self) -> None:
        """Compare with the last beat."""
        watch, era = self._watch, self._watch.era
        moves = era.lens.moves()
        busy = (moves != self._moves) | (era.lens.running() > 0)
        self._moves = moves
        self._since[busy] = watch.now
        if self._known is not None and busy[list(self._known[2])].any():
            self._known = self.told = None
        if busy.all():
            self._counters, self._still, self.told = None, (), None
            return
        if self._counters is None:
            self._counters, self._count_tick = decode_counters(era.plant), watch.now
        still = tuple(
            part
            for part, since in enumerate(self._since.tolist())
            if watch.now - since >= self._quiet and not self._waits(part, since)
        )
        if still and still != self._still:
            self._still = still
            self.told = self._tell(still)
            if self.told is not None and self._known is None:
                self._known = watch.now, self.told, still

    def _waits(self, part: int, since: int) -> bool:
        """Whether the part waits for a supply that is out, or was until now."""
        watch, era = self._watch, self._watch.era
        sources = set(era.plant.members[part].sources)
        begin, end = since * watch.tick, (watch.now + 1) * watch.tick
        return any(
            outage.source in sources and outage.start < end and outage.start + outage.span > begin
            for outage in era.scenario.outages
        )

    def _tell(self, parts: tuple[int, ...]) -> Standstill | None:
        watch, era = self._watch, self._watch.era
        members = [era.plant.members[part] for part in parts]
        stations = {name for each in members for name in each.stations}
        rows = tuple(
            dict.fromkeys(s.row or s.name for s in era.layout.stations if s.name in stations)
        )
        if not rows:
            return None
        since = min(int(self._since[part]) for part in parts) * watch.tick
        found = next((limit for limit in limits(self._run()) if limit.kind == "jam"), None)
        cause = found.sentence.partition("; ")[2] if found else ""
        whole = len(stations) == len(era.layout.stations)
        subject = "the line" if whole else listed(rows[:4]) + (" and more" if len(rows) > 4 else "")
        verb = "stands" if whole or len(rows) == 1 else "stand"
        sentence = f"{subject} {verb}: nothing moves since {figure(since)} s"
        because = tuple(
            text for text in (found.because if found else ()) if text.partition(":")[0] in rows
        )
        belts = tuple(name for each in members for name in each.belts)
        whole_sentence = f"{sentence}; {cause}" if cause else sentence
        return Standstill(since, rows, whole, whole_sentence, because, belts)

    def _run(self) -> Run:
        """The time since it is quiet as a run, to be read like any other."""
        watch, era = self._watch, self._watch.era
        assert self._counters is not None
        end = watch.state()
        scenario = replace(
            era.scenario,
            warm_up=(self._count_tick - watch.start.tick) * watch.tick,
            bin=BEAT,
            find_warm_up=False,
        )
        names = [d.name for d in era.plant.wiring.drains.values() if d.purpose == "product"]
        bins = {
            name: tuple({"units": b - a} for a, b in pairwise(column))
            for name, column in zip(names, watch.diary.made, strict=True)
        }
        bins |= {
            d.name: tuple({} for _ in range(len(watch.diary) - 1))
            for d in era.layout.drains
            if d.purpose != "product"
        }
        return Run(
            layout=era.layout,
            scenario=scenario,
            tick=watch.tick,
            ticks=watch.now - watch.start.tick,
            breaks=era.plant.breaks,
            start=watch.start,
            warm=self._counters,
            end=end,
            bins=bins,
            wall=0.0,
            ended="jam",
        )
