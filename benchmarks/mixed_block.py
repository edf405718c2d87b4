"""The block that the engine is timed on: stations on mixed rows whose leftovers come back sorted.

A section is two rows of 64 stations with one output belt between them. A row: three supply belts,
each joined by a return belt that goes first, an alternating merge of the three, a lane of 256
cells, and a divert by material back to the returns.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random

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
from loopwright.simulate.state import Counters, State

ROW = 64
MATERIALS = ("A", "B", "C")
LOAD, HAND, OUTLET = 4, 1, 4
"""Units on a fresh carrier, in a hand, and of products that a station keeps."""


@dataclass(frozen=True)
class Case:
    """Belt speed [cells/s], cycle [s], swing [s] and units of each material in a cycle.

    `stretch` makes all belts but the short feeds so many times as long, with the same stations.
    Without `returns` the lanes end at a drain.
    """

    speed: Fraction
    cycle: Fraction
    need: tuple[int, int, int]
    swing: Fraction = Fraction(1, 3)
    stretch: int = 1
    returns: bool = True


CASES = {
    "bal": Case(Fraction(15, 2), Fraction(64, 3), (3, 3, 3)),
    "213": Case(Fraction(15, 2), Fraction(64, 3), (2, 1, 3)),
    "check": Case(Fraction(30), Fraction(16, 3), (3, 3, 3), Fraction(1, 6)),
}
"""bal: rows loaded to 9/10 on belts of 7.5 carriers/s; 213: the same in the ratio 2:1:3, loaded to
9/10 by the third material; check: belts, cycles and arms of the example check-block.yaml."""


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

    def section(self, number: int, rows: int) -> None:
        """`rows` rows, one or two, and their output belt."""
        out = self.belt(f"out {number}", 260 * self.case.stretch, "output")
        self.drains.append(Drain(f"dock {number}", Cell(0, 0), out))
        for row in range(2 * number, 2 * number + rows):
            self.row(row, out)

    def row(self, row: int, out: str) -> None:
        """One mixed row."""
        stretch = self.case.stretch
        supplies = []
        for material in MATERIALS:
            supply = self.belt(f"supply {row}{material}", 260 * stretch, "supply")
            self.sources.append(Source(f"in {row}{material}", Cell(0, 0), supply, material, LOAD))
            supplies.append(supply)
        lane = f"lane {row}"
        feeds = self.returns(row, lane, supplies) if self.case.returns else supplies
        self.belt(lane, 4 * ROW * stretch, "lane")
        self.merges.append(Merge(f"mix {row}", Cell(0, 0), tuple(feeds), lane, "alternate"))
        if not self.case.returns:
            self.drains.append(Drain(f"end {row}", Cell(0, 0), lane))
        caps = tuple(zip(MATERIALS, (2 * need for need in self.case.need), strict=True))
        for place in range(ROW):
            station = f"station {row}-{place}"
            at = Cell(4 * stretch * place + 1, 0)
            self.stations.append(Station(station, Box(0, 0, 1, 1), "kit", caps, OUTLET))
            for name, source, target in (
                ("in", Port(lane, at.x), Port(station)),
                ("out", Port(station), Port(out, at.x)),
            ):
                swing = self.case.swing
                self.pickers.append(
                    Picker(f"{name} {row}-{place}", at, source, target, Heading.NORTH, swing, HAND)
                )

    def returns(self, row: int, lane: str, supplies: list[str]) -> list[str]:
        """What comes back from `lane`, sorted, goes first into the feed of its material."""
        feeds, backs = [], []
        for material, supply in zip(MATERIALS, supplies, strict=True):
            back = self.belt(f"back {row}{material}", 256 * self.case.stretch, "return")
            feed = self.belt(f"feed {row}{material}", 4, "supply")
            join = Merge(f"join {row}{material}", Cell(0, 0), (back, supply), feed, "priority")
            self.merges.append(join)
            feeds.append(feed)
            backs.append(back)
        filters = tuple(zip(MATERIALS, backs, strict=True))
        self.diverts.append(
            Divert(f"sort {row}", Cell(0, 0), lane, tuple(backs), "material", filters)
        )
        return feeds


def block(case: Case, stations: int) -> Layout:
    """As many sections as hold `stations`; the last may have one row."""
    drawing = Drawing(case)
    rows = stations // ROW
    for number in range(-(-rows // 2)):
        drawing.section(number, min(2, rows - 2 * number))
    recipe = Recipe("kit", case.cycle, tuple(zip(MATERIALS, case.need, strict=True)), (("kit", 1),))
    return Layout(
        title="benchmark",
        width=260 * case.stretch,
        height=len(drawing.belts),
        cell_size=Fraction(1),
        materials=tuple(
            Material(name, name[0].upper(), name, LOAD) for name in (*MATERIALS, "kit")
        ),
        recipes=(recipe,),
        belts=tuple(drawing.belts),
        sources=tuple(drawing.sources),
        drains=tuple(drawing.drains),
        merges=tuple(drawing.merges),
        diverts=tuple(drawing.diverts),
        stations=tuple(drawing.stations),
        pickers=tuple(drawing.pickers),
    )


def disturbed(state: State, layout: Layout, seed: int) -> State:
    """`state` with other units in the stations, and carriers on returns that are empty, at random:
    rows that are alike flatter every engine."""
    random = Random(seed)
    stations = {
        station.name: replace(
            state.stations[station.name],
            inputs={material: random.randint(0, cap) for material, cap in station.caps},
        )
        for station in layout.stations
    }
    belts = dict(state.belts)
    for belt in layout.belts:
        material = belt.name[-1]
        if belt.role == "return" and material in MATERIALS and not any(belts[belt.name]):
            belts[belt.name] = tuple(
                (material, random.randint(1, LOAD)) if random.random() < 0.1 else None
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
