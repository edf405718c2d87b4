"""Layouts to draw: a yard with one device of each kind, and a plant of pairs of rows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from loopwright.grid import Box, Cell, Heading
from loopwright.layout.layout import (
    Belt,
    Divert,
    Drain,
    Gate,
    Layout,
    Material,
    Merge,
    Picker,
    Port,
    Recipe,
    SideMerge,
    Source,
    Station,
    Store,
)

SPEED = Fraction(15, 2)
SWING = Fraction(1, 2)
MATERIALS = (
    Material("plate", "A", "Steel plate", 4),
    Material("rod", "B", "Threaded rod", 4),
    Material("glass", "C", "Glass pane", 4),
    Material("panel", "P", "Framed panel", 4),
)
RECIPE = Recipe("frame", Fraction(16, 3), (("plate", 2), ("rod", 1), ("glass", 1)), (("panel", 1),))
CAPS = (("plate", 4), ("rod", 2), ("glass", 2))


def corners(*points: tuple[int, ...]) -> tuple[Cell, ...]:
    """The path through corner cells; a third number is the level from that corner on."""
    x, y, level = (*points[0], 0)[:3]
    cells = [Cell(x, y, level)]
    for point in points[1:]:
        goal_x, goal_y, goal_level = (*point, 0)[:3]
        while (x, y) != (goal_x, goal_y):
            x += (goal_x > x) - (goal_x < x)
            y += (goal_y > y) - (goal_y < y)
            at_goal = (x, y) == (goal_x, goal_y)
            cells.append(Cell(x, y, goal_level if at_goal else level))
        level = goal_level
    return tuple(cells)


def belt(name: str, role: str, *points: tuple[int, ...]) -> Belt:
    return Belt(name, corners(*points), SPEED, role)


class _Pair:
    """Two rows back to back round an output belt, with their supply from three docks."""

    def __init__(self, number: int, top: int, count: int) -> None:
        self.number, self.top, self.count = number, top, count
        self.gate_x = 26
        self.first = self.gate_x + 2
        self.last = self.first + 3 * count + 1
        self.belts: list[Belt] = []
        self.stations: list[Station] = []
        self.pickers: list[Picker] = []
        self.gates: list[Gate] = []
        self.merges: list[Merge] = []
        self.diverts: list[Divert] = []
        self.sources: list[Source] = []

    def build(self, edge: int) -> Drain:
        y, n = self.top, self.number
        self._supply("plate", "A", (6, y + 4), [
            ((6, y + 3), (6, y), (self.gate_x - 1, y)),
            ((7, y + 4), (8, y + 4), (8, y + 6, 1), (8, y + 11), (8, y + 12),
             (self.gate_x - 1, y + 12)),
        ])  # fmt: skip
        self._supply("rod", "B", (12, y + 7), [
            ((12, y + 6), (12, y + 1), (self.gate_x - 1, y + 1)),
            ((13, y + 7), (14, y + 7), (14, y + 9, 1), (14, y + 13),
             (self.gate_x - 1, y + 13)),
        ])  # fmt: skip
        self._supply("glass", "C", (18, y + 10), [
            ((18, y + 9), (18, y + 2), (self.gate_x - 1, y + 2)),
            ((19, y + 10), (20, y + 10), (20, y + 11, 1), (20, y + 14),
             (self.gate_x - 1, y + 14)),
        ])  # fmt: skip
        out = belt(f"output {n}", "output", (self.first, y + 7), (edge, y + 7))
        self.belts.append(out)
        self._row(2 * n - 1, y + 1, y, y + 3, Heading.SOUTH, out)
        self._row(2 * n, y + 13, y + 14, y + 9, Heading.NORTH, out)
        return Drain(f"product dock {n}", Cell(edge, y + 7), out.name)

    def _supply(self, material: str, letter: str, at: tuple[int, int],
                ways: Iterable[tuple[tuple[int, ...], ...]]) -> None:  # fmt: skip
        n = self.number
        main = belt(f"supply {letter}{n}", "supply", (0, at[1]), at)
        outlets = [
            belt(f"supply {letter}{n}{side}", "supply", *way)
            for side, way in zip("ns", ways, strict=True)
        ]
        self.belts += [main, *outlets]
        rule, names = "alternate", tuple(outlet.name for outlet in outlets)
        self.diverts.append(Divert(f"D {letter}{n}", Cell(*at), main.name, names, rule))
        dock = f"dock {letter}{n}"
        self.sources.append(Source(dock, Cell(0, at[1]), main.name, material, 4, Fraction(5)))

    def _row(self, row: int, lane_y: int, return_y: int, station_y: int,
             inward: Heading, out: Belt) -> None:  # fmt: skip
        side = "n" if inward is Heading.SOUTH else "s"
        lane = belt(f"lane {row}", "lane", (self.gate_x + 1, lane_y), (self.last, lane_y))
        back = belt(f"return {row}", "return", (self.last, return_y), (self.gate_x + 1, return_y))
        self.belts += [lane, back]
        self.merges.append(Merge(f"J {row}", back.path[0], (lane.name,), back.name, "alternate"))
        inlets = tuple(f"supply {letter}{self.number}{side}" for letter in "ABC")
        top = min(lane_y, return_y) - (side == "s")
        shares = tuple(RECIPE.inputs)
        self.gates.append(
            Gate(f"gate {row}", Box(self.gate_x, top, 1, 3), inlets, lane.name, "scarcest-first",
                 main=back.name, shares=shares, loop=(lane.name, back.name))
        )  # fmt: skip
        dy = inward.vector[1]
        outer, inner = (station_y - 1, station_y + 3)[::dy]
        for place in range(self.count):
            x = self.first + 3 * place
            name = f"row {row} station {place + 1}"
            box = Box(x, station_y, 3, 3)
            self.stations.append(Station(name, box, "frame", CAPS, 1, f"row {row}"))
            lane_port = Port(lane.name, x + 1 - lane.path[0].x)
            out_port = Port(out.name, x + 1 - out.path[0].x)
            port = Port(name)
            into = Picker(f"row {row} in {place + 1}", Cell(x + 1, outer), lane_port, port,
                          inward, SWING)  # fmt: skip
            gone = Picker(f"row {row} out {place + 1}", Cell(x + 1, inner), port, out_port,
                          inward, SWING, 4)  # fmt: skip
            self.pickers += [into, gone]


def plant(pairs: int, count: int, pitch: int = 20) -> Layout:
    """Pairs of rows of `count` stations each, from docks in the west to docks in the east."""
    width, height = 28 + 3 * count + 8, pairs * pitch + 1
    found = [_Pair(number, 2 + (number - 1) * pitch, count) for number in range(1, pairs + 1)]
    drains = tuple(pair.build(width - 1) for pair in found)
    empty = Layout("Framed panels: five mixed loops", width, height, Fraction(1), MATERIALS,
                   (RECIPE,), drains=drains)  # fmt: skip
    return replace(
        empty,
        belts=tuple(b for pair in found for b in pair.belts),
        sources=tuple(s for pair in found for s in pair.sources),
        merges=tuple(m for pair in found for m in pair.merges),
        diverts=tuple(d for pair in found for d in pair.diverts),
        gates=tuple(g for pair in found for g in pair.gates),
        stations=tuple(s for pair in found for s in pair.stations),
        pickers=tuple(p for pair in found for p in pair.pickers),
        obstacles=(Box(2, 0, 8, 2),),
    )


def yard() -> Layout:
    """A small site with at least one device of each kind."""
    lane = belt("lane", "lane", (7, 3), (18, 3))
    back = belt("return", "return", (19, 3), (19, 1), (6, 1), (6, 2))
    plates = belt("plates", "supply", (0, 3), (5, 3))
    rods = belt("rods", "supply", (0, 6), (2, 6), (2, 5), (6, 5), (6, 4))
    made = belt("made", "output", (10, 9), (16, 9))
    top = belt("made top", "output", (16, 8), (16, 7), (21, 7), (21, 8))
    low = belt("made low", "output", (17, 9), (20, 9))
    out = belt("out", "collector", (21, 9), (23, 9))
    spare = belt("spare", "supply", (13, 11), (13, 10))
    over = belt("over", "collector", (4, 0), (4, 2, 1), (4, 6), (4, 11))
    return Layout(
        "Yard",
        24,
        12,
        Fraction(3, 2),
        (MATERIALS[0], MATERIALS[1], MATERIALS[3]),
        (Recipe("weld", Fraction(2), (("plate", 1), ("rod", 2)), (("panel", 1),)),),
        belts=(back, lane, low, made, out, over, plates, rods, spare, top),
        sources=(
            Source("dock over", Cell(4, 0), "over", "rod", 1),
            Source("dock plates", Cell(0, 3), "plates", "plate", 4, Fraction(3)),
            Source("dock rods", Cell(0, 6), "rods", "rod", 2),
            Source("dock spare", Cell(13, 11), "spare", "panel", 1),
        ),
        drains=(Drain("exit", Cell(23, 9), "out"), Drain("waste", Cell(4, 11), "over", "waste")),
        merges=(
            Merge("J1", Cell(19, 3), ("lane",), "return", "alternate"),
            Merge("M1", Cell(21, 9), ("made top", "made low"), "out", "priority"),
        ),
        side_merges=(SideMerge("S1", "spare", "made", 3),),
        diverts=(Divert("D1", Cell(16, 9), "made", ("made top", "made low"), "overflow"),),
        gates=(
            Gate(
                "G1",
                Box(6, 3, 1, 1),
                ("plates", "rods"),
                "lane",
                "counted",
                main="return",
                quotas=(("rod", 6),),
                loop=("lane", "return"),
            ),
        ),
        stations=(
            Station("welder 1", Box(10, 5, 3, 3), "weld", (("plate", 2), ("rod", 4)), 2, "row 1"),
        ),
        stores=(Store("store 1", Box(14, 5, 2, 2), 50),),
        pickers=(
            Picker("in 1", Cell(11, 4), Port("lane", 4), Port("welder 1"), Heading.SOUTH, SWING, 2),
            Picker("out 1", Cell(11, 8), Port("welder 1"), Port("made", 1), Heading.SOUTH, SWING),
            Picker("save 1", Cell(14, 4), Port("lane", 7), Port("store 1"), Heading.SOUTH, SWING),
        ),
        obstacles=(Box(21, 0, 3, 2),),
    )
