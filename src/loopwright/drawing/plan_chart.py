"""Flow diagram of a plan: materials and processes in layers, widths to scale."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from loopwright.drawing.axis import short_number
from loopwright.drawing.legend import cut
from loopwright.drawing.mark import Area, Mark, Point, Text, rectangle
from loopwright.drawing.sheet import Sheet
from loopwright.drawing.svg import sheet_svg
from loopwright.layout.layout import Material
from loopwright.plan.plan import Plan

Units = Mapping[tuple[str, str], Fraction]
"""Units a cycle by (process, material)."""

_BOX, _BAR, _STEP, _GAP, _TOP = 128.0, 12.0, 216.0, 44.0, 64.0
_TALL = 260.0


@dataclass(frozen=True, slots=True)
class _Link:
    """A flow [units/s] between two nodes, of one material."""

    source: str
    target: str
    material: str
    rate: float


def _links(plan: Plan, made: Units, used: Units) -> list[_Link]:
    cycles = {entry.process: entry.cycles for entry in plan.processes}
    found = []
    for (process, material), units in used.items():
        if process in cycles:
            rate = float(cycles[process] * units)
            found.append(_Link(f"m {material}", f"p {process}", material, rate))
    for (process, material), units in made.items():
        if process in cycles:
            rate = float(cycles[process] * units)
            found.append(_Link(f"p {process}", f"m {material}", material, rate))
    return [link for link in found if link.rate > 0]


def _layers(plan: Plan, links: Sequence[_Link]) -> dict[str, int]:
    """Layer of each node from the raw materials on; raw ones stand just before their first use."""
    layer: dict[str, int] = {}
    for entry in reversed(plan.processes):
        node = f"p {entry.process}"
        before = [layer.get(link.source, 0) for link in links if link.target == node]
        layer[node] = 1 + max(before, default=0)
        for link in links:
            if link.source == node:
                layer[link.target] = max(layer.get(link.target, 0), layer[node] + 1)
    for material in plan.materials:
        node = f"m {material.material}"
        if node not in layer:
            users = [layer[link.target] for link in links if link.source == node]
            layer[node] = min(users, default=1) - 1
    return layer


def _columns(layer: Mapping[str, int], links: Sequence[_Link]) -> list[list[str]]:
    """Nodes of each layer, those joined to each other at like heights."""
    columns: list[list[str]] = [[] for _ in range(max(layer.values(), default=-1) + 1)]
    for node, index in layer.items():
        columns[index].append(node)
    near: dict[str, list[str]] = defaultdict(list)
    for link in links:
        near[link.source].append(link.target)
        near[link.target].append(link.source)
    for _ in range(3):
        for order in (columns, columns[::-1]):
            place = {n: i / len(column) for column in columns for i, n in enumerate(column)}
            for column in order:
                weights = {
                    node: sum(place[o] for o in near[node]) / len(near[node]) if near[node] else 0.5
                    for node in column
                }
                column.sort(key=lambda node: (round(weights[node], 9), node))
                place.update({n: i / len(column) for i, n in enumerate(column)})
    return columns


def _ribbon(start: Point, end: Point, width: float) -> tuple[Point, ...]:
    """A band of even height that leaves and arrives level."""
    upper: list[Point] = []
    for index in range(17):
        t = index / 16
        ease = t * t * (3 - 2 * t)
        upper.append((start[0] + (end[0] - start[0]) * t, start[1] + (end[1] - start[1]) * ease))
    return (*upper, *((x, y + width) for x, y in reversed(upper)))


class _Chart:
    """Places nodes and ribbons."""

    def __init__(self, plan: Plan, links: list[_Link], materials: Sequence[Material]) -> None:
        self.plan, self.links = plan, links
        self.known = {material.name: material for material in materials}
        names = [*self.known, *(m.material for m in plan.materials if m.material not in self.known)]
        self.numbers = {name: index + 1 for index, name in enumerate(names)}
        self.columns = _columns(_layers(plan, links), links)
        flows: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0])
        for link in links:
            flows[link.source][1] += link.rate
            flows[link.target][0] += link.rate
        for entry in plan.materials:
            flows[f"m {entry.material}"].append(float(entry.flow))
        self.flow = {node: max(values) for node, values in flows.items()}
        most = max((sum(self.flow.get(n, 0) for n in c) for c in self.columns), default=0)
        self.scale = _TALL / most if most else 1.0
        tallest = max((self._column_height(column) for column in self.columns), default=0)
        self.height = _TOP + tallest + 50
        self.width = max(760.0, _STEP * len(self.columns) + 70)
        self.box: dict[str, tuple[float, float, float, float]] = {}
        self._place(tallest)

    def _node_height(self, node: str) -> float:
        flow = self.flow.get(node, 0) * self.scale
        return max(flow, 40.0 if node.startswith("p ") else 3.0)

    def _column_height(self, column: list[str]) -> float:
        return sum(self._node_height(node) for node in column) + _GAP * max(0, len(column) - 1)

    def _place(self, tallest: float) -> None:
        for index, column in enumerate(self.columns):
            y = _TOP + 20 + (tallest - self._column_height(column)) / 2
            for node in column:
                width = _BOX if node.startswith("p ") else _BAR
                x = 40 + _STEP * index + (_BOX - width) / 2
                height = self._node_height(node)
                self.box[node] = (round(x, 1), round(y, 1), width, round(height, 1))
                y += height + _GAP

    def ribbons(self) -> Iterator[Mark]:
        """Flows, stacked at each node in the order of the nodes at their other ends."""
        start: dict[_Link, float] = {}
        end: dict[_Link, float] = {}
        for node, (_, y, _, height) in self.box.items():
            for side, mine, other in ((start, "source", "target"), (end, "target", "source")):
                here = [link for link in self.links if getattr(link, mine) == node]
                here.sort(key=lambda link: self.box[getattr(link, other)][1])
                level = y + (height - sum(link.rate for link in here) * self.scale) / 2
                for link in here:
                    side[link] = level
                    level += link.rate * self.scale
        for link in self.links:
            (x, _, width, _), (goal, _, _, _) = self.box[link.source], self.box[link.target]
            outline = _ribbon(
                (x + width, start[link]), (goal, end[link]), max(1.2, link.rate * self.scale)
            )
            way = f"{link.source[2:]} to {link.target[2:]}"
            tooltip = f"{way}: {short_number(link.rate)} units/s"
            ink = f"ribbon{self.numbers[link.material]}"
            yield Area(outline, ink, "flows", tooltip=tooltip)

    def materials(self) -> Iterator[Mark]:
        """Bars of materials with name and rate."""
        for entry in self.plan.materials:
            x, y, width, height = self.box[f"m {entry.material}"]
            known = self.known.get(entry.material)
            letter = f"{known.letter} " if known else ""
            title = cut((known.title if known else "") or entry.material, 22)
            ink = f"swatch{self.numbers[entry.material]}"
            yield Area(rectangle(x, y, width, height), ink, "materials", tooltip=entry.material)
            middle = x + width / 2
            yield Text((middle, y - 22), f"{letter}{title}", 12, "tag", "materials", "names")
            yield Text((middle, y - 8), self._rate_words(entry.material), 11, "tag",
                       "materials", "rates")  # fmt: skip

    def _rate_words(self, name: str) -> str:
        entry = self.plan.material(name)
        words = [f"{short_number(float(entry.flow))}/s"]
        parts = (("in", entry.imported), ("out", entry.demanded), ("spare", entry.surplus))
        words += [f"{word} {short_number(float(rate))}" for word, rate in parts if rate]
        return ", ".join(words)

    def processes(self) -> Iterator[Mark]:
        """Boxes of processes with their stations."""
        for entry in self.plan.processes:
            x, y, width, height = self.box[f"p {entry.process}"]
            tooltip = f"{entry.process} on {entry.station}: {entry.stations} stations"
            yield Area(rectangle(x, y, width, height), "station", "processes", tooltip=tooltip)
            middle = (x + width / 2, y + height / 2)
            name = cut(entry.process, 18)
            yield Text((middle[0], middle[1] - 8), name, 12, "strong", "processes", "names")
            words = f"{entry.whole} stations"
            yield Text((middle[0], middle[1] + 9), words, 11, "words", "processes", "stations")


def plan_chart(
    plan: Plan,
    made: Units,
    used: Units,
    *,
    materials: Sequence[Material] = (),
    title: str = "Flow of materials",
    theme: str = "light",
    prefix: str = "lw-plan",
) -> str:
    """Layered diagram of a plan from raw materials to products, widths to scale [units/s].

    Parameters
    ----------
    made, used
        Units a cycle of each process, as in the plan's balance.
    materials
        Those of the layout, so that letters and hatches agree with the drawing.
    """
    chart = _Chart(plan, _links(plan, made, used), materials)
    head = Text((20, 24), title, 15, "strong", "title", anchor="start")
    note = Text((20, 44), "widths to scale, units/s", 12, "small", "title", anchor="start")
    page = Area(rectangle(0, 0, chart.width, chart.height), "paper", "paper")
    marks: tuple[Mark, ...] = (
        page,
        *chart.ribbons(),
        *chart.processes(),
        *chart.materials(),
        head,
        note,
    )
    size = (chart.width, chart.height)
    sheet = Sheet(title, 0, 0, chart.width, chart.height, size, "px", theme, marks, hatch=2)
    return sheet_svg(sheet, prefix=prefix)
