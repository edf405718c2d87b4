"""What goes wrong: times drawn by chance, failures, missed picks, slow belts, hands on belts."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil
from typing import Any

from reference import chance
from reference.site import Document, Site

FIXED = {"kind": "fixed"}


def by(devices: Iterable[Document], key: str) -> dict[str, Document]:
    """The entries under the names of what they are about."""
    return {device[key]: device for device in devices}


class Trouble:
    """The disturbances of a run; `now` of the site holds all that changes."""

    def __init__(self, site: Site, told: Document) -> None:
        """Read the document `told`; draw what is drawn before the first tick."""
        self.site, self.seed = site, told.get("seed", 0)
        self.paces = by(told.get("paces", ()), "station")
        self.failures = by(told.get("failures", ()), "station")
        self.missed = by(told.get("missed", ()), "picker")
        self.gaps = by(told.get("arrivals", ()), "source")
        self.supplies: list[Document] = list(told.get("supplies", ()))
        self.browns: list[Document] = list(told.get("brown_outs", ()))
        self.slow: list[Document] = list(told.get("slow", ()))
        foreign, removals = told.get("foreign", ()), told.get("removals", ())
        self.acts = [(self.ticks(act["at"]), act) for act in [*foreign, *removals]]

        now = site.now
        for name, station in now["stations"].items():
            if name not in self.failures:
                station["down"] = station["life"] = None
            elif station["life"] is None:
                station["life"] = self.life(name)
        now["arrivals"] = {
            name: now["arrivals"].get(name, now["tick"] + self.gap(name, now["tick"]))
            for name in self.gaps
        }

    def ticks(self, time: Any) -> int:
        """A moment [s] in ticks, rounded up."""
        return ceil(Fraction(time) / self.site.tick)

    def draw(self, kind: str, device: str, number: int, law: Document, mean: Fraction) -> int:
        """A time in ticks about `mean` [s]."""
        words = chance.draw(self.seed, kind, device, number)
        return chance.ticks(law, mean / self.site.tick, self.site.tick, words)

    def cycle(self, station: str, grade: int) -> int:
        """1.4 How long the cycle takes that starts now."""
        ticks = self.site.cycle[station][grade]
        if station in self.paces:
            number = self.site.now["counters"]["stations"][station]["started"]
            mean, law = ticks * self.site.tick, self.paces[station]["law"]
            ticks = self.draw("cycle", station, number, law, mean)
        slowed = [ticks]
        for brown in self.browns:
            start = Fraction(brown["start"])
            begin, end = self.ticks(start), self.ticks(start + Fraction(brown["span"]))
            if begin <= self.site.now["tick"] < end:
                slowed.append(ceil(ticks / Fraction(brown["speed"])))
        return max(slowed)

    def life(self, station: str) -> int:
        """0.2 Ticks until the next failure."""
        failure = self.failures[station]
        number = self.site.now["counters"]["stations"][station]["failed"]
        return self.draw("life", station, number, failure["law"], Fraction(failure["up"]))

    def repair(self, station: str) -> int:
        """0.2 Ticks of the repair that begins now."""
        failure = self.failures[station]
        number = self.site.now["counters"]["stations"][station]["failed"]
        return self.draw("repair", station, number, failure["law"], Fraction(failure["down"]))

    def wear(self, name: str) -> None:
        """4. The clock of failures runs on, at work or always, but not while it is down."""
        station = self.site.now["stations"][name]
        if name not in self.failures or station["down"] is not None:
            return
        if station["due"] is not None or self.failures[name]["clock"] == "time":
            station["life"] -= 1

    def misses(self, picker: str) -> bool:
        """3.2 Whether a pick is missed; it counts as such if so."""
        if picker not in self.missed:
            return False
        counters = self.site.now["counters"]
        number = counters["picks"][picker] + counters["missed"].get(picker, 0)
        words = chance.draw(self.seed, "pick", picker, number)
        miss = chance.happens(Fraction(self.missed[picker]["share"]), words)
        if miss:
            counters["missed"][picker] = counters["missed"].get(picker, 0) + 1
        return miss

    def stays(self, belt: str, index: int | None) -> bool:
        """2. Whether a slow cell keeps its carrier now; without an index, the whole belt."""
        step = self.site.now["tick"] // self.site.step[belt]
        for slow in self.slow:
            if slow["belt"] == belt and slow["index"] == index:
                where = belt if index is None else f"{belt} {index}"
                words = chance.draw(self.seed, "slow", where, step)
                if step % slow["every"] or chance.happens(Fraction(slow["refuses"]), words):
                    return True
        return False

    def rate(self, source: str, tick: int) -> Fraction:
        """Carriers/s of a source at a tick."""
        rates = [dock["rate"] for dock in self.site.layout["sources"] if dock["name"] == source]
        for supply in sorted(self.supplies, key=lambda supply: Fraction(supply["start"])):
            if supply["source"] == source and self.ticks(supply["start"]) <= tick:
                rates.append(supply["rate"])
        return Fraction(rates[-1])

    def gap(self, source: str, tick: int) -> int:
        """2.4 Ticks to the next arrival, after one at `tick`."""
        number = self.site.now["counters"]["sources"][source]["arrived"]
        mean = 1 / self.rate(source, tick)
        return self.draw("gap", source, number, self.gaps[source]["law"], mean)

    def take_arrivals(self, source: str) -> None:
        """2.4 Carriers that have arrived at the dock by now wait there, or are lost."""
        now, queue = self.site.now, self.gaps[source]["queue"]
        count = now["counters"]["sources"][source]
        while now["arrivals"][source] <= now["tick"]:
            full = queue is not None and now["credits"][source] + 1 > queue
            if full or self.site.in_outage(source):
                count["lost"] += 1
            else:
                now["credits"][source] += 1
            count["arrived"] += 1
            now["arrivals"][source] += self.gap(source, now["arrivals"][source])


def act_by_hand(site: Site) -> None:
    """0.1 Carriers are taken off and put on by hand, as listed."""
    counters = site.now["counters"]
    for tick, act in site.trouble.acts:
        if tick == site.now["tick"]:
            cells, index = site.now["belts"][act["belt"]], act["index"]
            if cells[index]:
                material, units, _ = cells[index]
                counters["removed"][material] = counters["removed"].get(material, 0) + units
            cells[index] = None
            if "material" in act:
                material, units, _ = cells[index] = [act["material"], act["units"], 0]
                counters["put"][material] = counters["put"].get(material, 0) + units


def fail_and_repair(site: Site) -> None:
    """0.2 Stations that are due for it fail or are up again; a running cycle waits meanwhile."""
    trouble = site.trouble
    for name in trouble.failures:
        station = site.now["stations"][name]
        if station["down"] == site.now["tick"]:
            station["down"] = None
        elif station["down"] is None and station["life"] == 0:
            repair = trouble.repair(name)
            site.now["counters"]["stations"][name]["failed"] += 1
            station["down"] = site.now["tick"] + repair
            station["life"] = trouble.life(name)
            if station["due"] is not None:
                station["due"] += repair
