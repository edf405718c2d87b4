"""Speed of the compiled engine on a block of identical stations fed by mixed rows.

    python -m benchmarks.simulate [--stations 640] [--case slow|wide|check] [--hours 1]

A section is two rows of 64 stations with one output belt between them. A row: three supply belts,
each joined by a return belt that goes first, an alternating merge of the three, a row belt of 256
cells, and a divert by material back to the returns. The start state is disturbed at random
(fixed seed), for identical rows flatter every engine.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random
from statistics import median
from time import perf_counter

from loopwright.grid import Box, Cell, Heading, run_of
from loopwright.layout.layout import (
    Belt,
    Divert,
    Drain,
    Layout,
    Material,
    Merge,
    Picker,
    Port,
    Recipe,
    Source,
    Station,
)
from loopwright.simulate import simulate_layout
from loopwright.simulate.clock import whole_ticks
from loopwright.simulate.encode import encode
from loopwright.simulate.fill import fill
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.start import empty_state
from loopwright.simulate.state import Counters, State
from loopwright.simulate.wiring import Wiring
from loopwright.simulate.work import run_plant

ROW = 64
MATERIALS = ("A", "B", "C")


@dataclass(frozen=True)
class Case:
    """Belt speed [cells/s], cycle [s] and units of each material in a cycle."""

    speed: Fraction
    cycle: Fraction
    need: tuple[int, int, int]


CASES = {
    "slow": Case(Fraction(15, 2), Fraction(64, 3), (3, 3, 3)),
    "wide": Case(Fraction(15, 2), Fraction(64, 3), (3, 1, 5)),
    "check": Case(Fraction(30), Fraction(16, 3), (3, 3, 3)),
}
"""slow: rows loaded to 9/10 on belts of 7.5 carriers/s; wide: the same in another ratio, so that
one material falls short and the loops fill; check: four times the speed of everything."""


class Drawing:
    """Collects the devices of sections."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.belts: list[Belt] = []
        self.sources: list[Source] = []
        self.drains: list[Drain] = []
        self.merges: list[Merge] = []
        self.diverts: list[Divert] = []
        self.stations: list[Station] = []
        self.pickers: list[Picker] = []

    def belt(self, name: str, length: int, role: str) -> str:
        """A belt in a line of its own."""
        path = run_of(Cell(0, len(self.belts)), Heading.EAST, length)
        self.belts.append(Belt(name, path, self.case.speed, role))
        return name

    def section(self, number: int) -> None:
        """Two rows and their output belt."""
        out = self.belt(f"out {number}", 260, "output")
        self.drains.append(Drain(f"dock {number}", Cell(0, 0), out))
        for row in (2 * number, 2 * number + 1):
            self.row(row, out)

    def row(self, row: int, out: str) -> None:
        """One mixed row with sorted returns."""
        feeds, backs = [], []
        for material in MATERIALS:
            supply = self.belt(f"supply {row}{material}", 260, "supply")
            back = self.belt(f"back {row}{material}", 256, "return")
            feed = self.belt(f"feed {row}{material}", 4, "supply")
            self.sources.append(Source(f"in {row}{material}", Cell(0, 0), supply, material, 4))
            self.merges.append(
                Merge(f"join {row}{material}", Cell(0, 0), (back, supply), feed, "priority")
            )
            feeds.append(feed)
            backs.append(back)
        lane = self.belt(f"lane {row}", 4 * ROW, "lane")
        self.merges.append(Merge(f"mix {row}", Cell(0, 0), tuple(feeds), lane, "alternate"))
        filters = tuple(zip(MATERIALS, backs, strict=True))
        self.diverts.append(
            Divert(f"sort {row}", Cell(0, 0), lane, tuple(backs), "material", filters)
        )
        caps = tuple(zip(MATERIALS, (2 * need for need in self.case.need), strict=True))
        for place in range(ROW):
            station = f"station {row}-{place}"
            at, third = Cell(4 * place + 1, 0), Fraction(1, 3)
            self.stations.append(Station(station, Box(0, 0, 1, 1), "kit", caps, 4))
            for name, source, target in (
                ("in", Port(lane, at.x), Port(station)),
                ("out", Port(station), Port(out, at.x)),
            ):
                self.pickers.append(
                    Picker(f"{name} {row}-{place}", at, source, target, Heading.NORTH, third)
                )


def block(case: Case, stations: int) -> Layout:
    """As many sections as hold `stations`."""
    drawing = Drawing(case)
    for number in range(stations // (2 * ROW)):
        drawing.section(number)
    recipe = Recipe("kit", case.cycle, tuple(zip(MATERIALS, case.need, strict=True)), (("kit", 1),))
    return Layout(
        title="benchmark",
        width=260,
        height=len(drawing.belts),
        cell_size=Fraction(1),
        materials=tuple(Material(name, name[0].upper(), name, 4) for name in (*MATERIALS, "kit")),
        recipes=(recipe,),
        belts=tuple(drawing.belts),
        sources=tuple(drawing.sources),
        drains=tuple(drawing.drains),
        merges=tuple(drawing.merges),
        diverts=tuple(drawing.diverts),
        stations=tuple(drawing.stations),
        pickers=tuple(drawing.pickers),
    )


def disturbed(layout: Layout, seed: int) -> State:
    """The empty state with units in the stations and carriers on the returns, at random."""
    random = Random(seed)
    state = empty_state(layout)
    stations = {
        station.name: replace(
            state.stations[station.name],
            inputs={material: random.randint(0, cap) for material, cap in station.caps},
        )
        for station in layout.stations
    }
    belts = dict(state.belts)
    for belt in layout.belts:
        if belt.role == "return":
            material = belt.name[-1]
            belts[belt.name] = tuple(
                (material, random.randint(1, 4)) if random.random() < 0.1 else None
                for _ in belt.path
            )
    return replace(state, belts=belts, stations=stations)


def transfers(counters: Counters) -> int:
    """Picks, passes through joints and diverts, carriers put by sources and taken by drains."""
    return (
        sum(counters.picks.values())
        + sum(sum(joint.passed) for joint in counters.joints.values())
        + sum(sum(passed) for passed in counters.diverts.values())
        + sum(source.carriers for source in counters.sources.values())
        + sum(sum(drain.carriers.values()) for drain in counters.drains.values())
    )


def run(stations: int = 640, hours: Fraction = Fraction(1), repeats: int = 5) -> Iterator[str]:
    """All cases of a block of `stations`: plant time per wall time, and the cost of a transfer."""
    for case in CASES:
        yield from measure(case, stations, hours, repeats)


def measure(case: str, stations: int, hours: Fraction, repeats: int) -> Iterator[str]:
    """One case: warm up, then time `repeats` runs of `hours` from the same state."""
    layout = block(CASES[case], stations)
    began = perf_counter()
    warm = Scenario("warm", "empty", Fraction(300), Fraction(0), Fraction(300))
    start = simulate_layout(layout, warm, start=disturbed(layout, 1)).end
    yield f"{case}: first run, with loading or compiling: {perf_counter() - began:.2f} s"

    span = hours * 3600
    scenario = Scenario("measure", "empty", span, Fraction(0), span)
    walls = []
    for _ in range(repeats):
        plant = encode(Wiring(layout), scenario, start)
        fill(plant, start)
        began = perf_counter()
        run_plant(plant, start.tick + whole_ticks(span, plant.tick))
        walls.append(perf_counter() - began)
    began = perf_counter()
    after = simulate_layout(layout, scenario, start=start)
    whole = perf_counter() - began
    moved = transfers(after.end.counters) - transfers(start.counters)
    cycles = sum(count.ended for count in after.end.counters.stations.values())
    cycles -= sum(count.ended for count in start.counters.stations.values())
    cells = sum(len(belt.path) for belt in layout.belts)
    wall = median(walls)
    yield (
        f"{case}: {len(layout.stations)} stations, {len(layout.belts)} belts, {cells} cells, "
        f"tick {after.tick} s, {float(cycles / hours):,.0f} cycles an hour"
    )
    yield (
        f"{case}: {float(span) / wall:,.0f} plant-seconds per second, "
        f"{wall * 1e9 / moved:.0f} ns per transfer (kernel, median of {repeats})"
    )
    yield f"{case}: whole call with encoding, decoding and audit: {whole:.3f} s"


def main() -> None:
    """One case from the command line."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--stations", type=int, default=640)
    parser.add_argument("--case", choices=CASES, default="slow")
    parser.add_argument("--hours", type=Fraction, default=Fraction(1))
    parser.add_argument("--repeats", type=int, default=5)
    options = parser.parse_args()
    for line in measure(options.case, options.stations, options.hours, options.repeats):
        print(line)


if __name__ == "__main__":
    main()
