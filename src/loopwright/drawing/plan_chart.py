"""Flow diagram of a plan: materials and processes in layers, widths to scale."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from loopwright.drawing.axis import short_number
from loopwright.drawing.flow_graph import Graph, Node, flow_graph
from loopwright.drawing.flow_marks import FlowMarks, stub, wrapped
from loopwright.drawing.flow_shape import STUB, Shape
from loopwright.drawing.legend import cut
from loopwright.drawing.mark import Area, Line, Mark, Symbol, Text, rectangle
from loopwright.drawing.sheet import Sheet
from loopwright.drawing.svg import sheet_svg
from loopwright.layout.layout import Material
from loopwright.plan.plan import MaterialPlan, Plan, ProcessPlan

_LETTERS, _WIDE = 13, 13
"""Characters in a line of words over a bar, and in a box."""


class _Chart:
    """The words of a plan beside the shape of its flows."""

    def __init__(
        self,
        plan: Plan,
        graph: Graph,
        materials: Sequence[Material],
        titles: Mapping[str, str],
    ) -> None:
        self.plan, self.graph = plan, graph
        known = {material.name: material for material in materials}
        self.letters = {name: material.letter for name, material in known.items()}
        self.names = {name: material.title or name for name, material in known.items()}
        self.titles = titles
        names = [*known, *(m.material for m in plan.materials if m.material not in known)]
        self.numbers = {name: index + 1 for index, name in enumerate(names)}
        nodes = {node.name: node for node in graph.nodes if node.kind == "material"}
        self.entries = {
            nodes[entry.material]: entry for entry in plan.materials if entry.material in nodes
        }
        self.labels = {node: self._label(entry) for node, entry in self.entries.items()}
        self.words = {node: [*name, *rates] for node, (name, rates) in self.labels.items()}
        for node in graph.nodes:
            if node.kind == "process":
                self.words[node] = self._process_words(plan.processes[node.index])
        ends = {
            node: (float(entry.imported + entry.drawn), float(entry.demanded + entry.surplus))
            for node, entry in self.entries.items()
        }
        self.shape = Shape(graph, self._flows(), self.words, ends)

    def _flows(self) -> dict[Node, float]:
        """What passes each node [units/s]."""
        flows = {node: float(entry.flow) for node, entry in self.entries.items()}
        for node in self.graph.nodes:
            sides = [0.0, 0.0]
            for link in self.graph.links:
                if node in (link.source, link.target):
                    sides[link.source == node] += link.rate
            flows[node] = max(flows.get(node, 0.0), *sides)
        return flows

    def _label(self, entry: MaterialPlan) -> tuple[list[str], list[str]]:
        """Lines with the name of a material, and lines with its rates."""
        name = self.names.get(entry.material, entry.material)
        letter = self.letters.get(entry.material)
        lines = wrapped(f"{letter} {name}" if letter else name, _LETTERS)
        rate = short_number(float(entry.flow))
        parts = (
            ("in", entry.imported),
            ("drawn", entry.drawn),
            ("out", entry.demanded),
            ("spare", entry.surplus),
        )
        told = [(word, value) for word, value in parts if value]
        if len(told) == 1 and told[0][1] == entry.flow:
            return lines, [f"{told[0][0]} {rate}/s"]
        rates = [f"{word} {short_number(float(value))}/s" for word, value in told]
        return lines, [f"{rate}/s", *rates]

    def _process_words(self, entry: ProcessPlan) -> list[str]:
        """Lines in the box of a process, the number of stations last."""
        name = wrapped(self.titles.get(entry.process, entry.process), _WIDE, 3)
        count = f"{entry.whole} station" + ("" if entry.whole == 1 else "s")
        return (
            [*name, f"with {cut(entry.treatment, 11)}", count]
            if entry.treatment
            else [*name, count]
        )

    def materials(self) -> Iterator[Mark]:
        """Bars of materials with name and rate, and what comes in or goes out."""
        for node, entry in self.entries.items():
            x, y, width, height = self.shape.box[node]
            ink = f"swatch{self.numbers[node.name]}"
            yield Area(rectangle(x, y, width, height), ink, "materials", tooltip=node.name)
            yield from self._ends(node, entry)
            names, rates = self.labels[node]
            level = y - 9 - 13 * (len(names) + len(rates) - 1)
            for group, lines, text_ink, size in (
                ("names", names, "tag", 11.5),
                ("rates", rates, "words", 10.5),
            ):
                for line in lines:
                    at = (x + width / 2, level)
                    yield Text(at, line, size, text_ink, "materials", group)
                    level += 13

    def _ends(self, node: Node, entry: MaterialPlan) -> Iterator[Mark]:
        x, y, width, height = self.shape.box[node]
        ink = f"swatch{self.numbers[node.name]}"
        scale = self.shape.scale
        incoming = float(entry.imported + entry.drawn)
        middle, flow = y + height / 2, self.shape.flows[node] * scale
        if incoming:
            thick = incoming * scale
            level = middle + (flow - thick) / 2
            tip = f"{node.name} comes in: {short_number(incoming)} units/s"
            yield Area(stub(x - STUB, level, thick), ink, "ends", "in", tooltip=tip)
        level = middle + flow / 2
        if entry.surplus:
            thick = float(entry.surplus) * scale
            level -= thick
            at = level + thick / 2
            tip = f"{node.name} is left over: {short_number(float(entry.surplus))} units/s"
            yield Area(stub(x + width, at, thick, spare=True), ink, "ends", "spare", tooltip=tip)
            end, half = x + width + STUB * 0.6, max(2.5, thick / 2) + 3
            yield Line(((end, at - half), (end, at + half)), "key-line", "ends", "caps")
        if entry.demanded:
            thick = float(entry.demanded) * scale
            tip = f"{node.name} goes out: {short_number(float(entry.demanded))} units/s"
            at = level - thick / 2
            yield Area(stub(x + width + 2, at, thick), ink, "ends", "out", tooltip=tip)

    def processes(self) -> Iterator[Mark]:
        """Boxes of processes with their stations."""
        for node in self.graph.nodes:
            if node.kind != "process":
                continue
            entry = self.plan.processes[node.index]
            x, y, width, height = self.shape.box[node]
            lines = self.words[node]
            tip = f"{entry.process}: {lines[-1]} of {entry.station}"
            yield Area(rectangle(x, y, width, height), "station", "processes", tooltip=tip)
            level = y + height / 2 - 6.5 * (len(lines) - 1)
            entry = self.plan.processes[node.index]
            plain = 2 if entry.treatment else 1
            for index, line in enumerate(lines):
                at = (x + width / 2, level)
                if index >= len(lines) - plain:
                    yield Text(at, line, 10.5, "words", "processes", "stations")
                else:
                    yield Text(at, line, 11.5, "strong", "processes", "names")
                level += 13

    def key(self) -> Iterator[Mark]:
        """A scale of flow, and what the ends of flows mean."""
        x = 20.0
        yield Text((x, 44), "widths to scale, units/s", 12, "small", "key", anchor="start")
        x += 172
        value = _round_below(22 / self.shape.scale)
        tall = value * self.shape.scale
        yield Line(((x, 44 - tall / 2), (x, 44 + tall / 2)), "key-line", "key")
        for end in (44 - tall / 2, 44 + tall / 2):
            yield Line(((x - 3, end), (x + 3, end)), "key-line", "key")
        words = f"{short_number(value)} /s"
        yield Text((x + 9, 44), words, 12, "small", "key", anchor="start")
        x += 9 + 7 * len(words) + 22
        entries = list(self.entries.values())
        ends = (
            ("comes in", any(entry.imported or entry.drawn for entry in entries), False),
            ("goes out", any(entry.demanded for entry in entries), False),
            ("left over", any(entry.surplus for entry in entries), True),
        )
        for words, shown, spare in ends:
            if not shown:
                continue
            bar = x + STUB if words == "comes in" else x
            start = x if words == "comes in" else x + 5
            yield Area(rectangle(bar, 38, 5, 12), "solid", "key")
            yield Area(stub(start + (words == "goes out"), 44, 5, spare=spare), "key", "key")
            if spare:
                cap = start + STUB * 0.6
                yield Line(((cap, 38), (cap, 50)), "key-line", "key")
            yield Text((x + 36, 44), words, 12, "small", "key", anchor="start")
            x += 36 + 7 * len(words) + 20
        if self.shape.returns:
            yield Line(((x, 44), (x + 26, 44)), "key-line", "key")
            yield Symbol((x + 11, 44), "arrow", 9, "arrow", "key", angle=180)
            yield Text((x + 34, 44), "returns", 12, "small", "key", anchor="start")


def _round_below(value: float) -> float:
    """The largest of 1, 2, 5, 10, ... times a power of ten that is at most `value`."""
    power = 1.0
    while power > value:
        power /= 10
    while power * 10 <= value:
        power *= 10
    return max(step * power for step in (1, 2, 5) if step * power <= value or step == 1)


def plan_chart(
    plan: Plan,
    *,
    materials: Sequence[Material] = (),
    title: str = "Flow of materials",
    headed: bool = True,
    titles: Mapping[str, str] | None = None,
    theme: str = "light",
    prefix: str = "lw-plan",
) -> str:
    """Layered diagram of a plan from raw materials to products, widths to scale [units/s].

    Parameters
    ----------
    materials
        Those of the layout, so that letters and hatches agree with the drawing.
    headed
        Whether the title stands above the diagram; a page may say it already.
    titles
        Names of processes for people; their keys where they are left out.
    """
    graph = flow_graph(plan)
    chart = _Chart(plan, graph, materials, titles or {})
    shape = chart.shape
    drawn = FlowMarks(shape, chart.numbers, chart.letters)
    marks: tuple[Mark, ...] = (
        Area(rectangle(0, 0, shape.width, shape.height), "paper", "paper"),
        *drawn.ribbons(),
        *drawn.returns(),
        *chart.processes(),
        *chart.materials(),
        *drawn.letters_on_ribbons(),
        *([Text((20, 24), title, 15, "strong", "title", anchor="start")] if headed else ()),
        *chart.key(),
    )
    size = (shape.width, shape.height)
    sheet = Sheet(title, 0, 0, shape.width, shape.height, size, "px", theme, marks, hatch=2)
    return sheet_svg(sheet, prefix=prefix)
