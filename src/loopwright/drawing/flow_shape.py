"""Sizes and places of everything in a flow diagram, before it is drawn."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loopwright.drawing.flow_graph import Graph, Link, Node
from loopwright.drawing.flow_layers import Layers, Stop, lay_out_layers
from loopwright.drawing.flow_place import Ports, place_stops

BOX, BAR, ZONE = 100.0, 10.0, 80.0
"""Width of a process, of a material's bar, and of the room for its words [px]."""

STUB = 24.0
"""Length of what shows that something comes in or goes out [px]."""

_TALL = 260.0
_TOP = 66.0
_NARROW = 760
_SLOT_IN, _SLOT_OUT = 11.0, 8.0
_THIN = 1.2

Box = tuple[float, float, float, float]
"""Left, top, width and height [px]."""


@dataclass(frozen=True, slots=True)
class Return:
    """The way of a returning link: out at `start`, along the height `lane`, in at `end`."""

    link: Link
    start: tuple[float, float]
    out_x: float
    lane: float
    in_x: float
    end: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Run:
    """A forward link: (left, right, height of its middle) in each layer that it meets."""

    link: Link
    levels: tuple[tuple[float, float, float], ...]


def _source(link: Link) -> Node:
    return link.source


def _target(link: Link) -> Node:
    return link.target


class Shape:
    """Places nodes, runs and returns. `words` are lines over a material's bar, or in a process.

    `ends` is what comes in from outside at each material and what goes out [units/s]; it takes the
    lower part of the bar.
    """

    def __init__(
        self,
        graph: Graph,
        flows: Mapping[Node, float],
        words: Mapping[Node, Sequence[str]],
        ends: Mapping[Node, tuple[float, float]],
    ) -> None:
        self.graph, self.flows, self.words, self.ends = graph, flows, words, ends
        self.layers: Layers = lay_out_layers(graph)
        self.stops = [stop for column in self.layers.columns for stop in column]
        self.scale = self._scale()
        self.tall = {id(stop): self._find_height(stop) for stop in self.stops}
        self.above: set[Link] = set()
        self.box: dict[Node, Box] = {}
        self.runs: list[Run] = []
        self.returns: list[Return] = []
        self._returning = [link for link in graph.links if link.back]
        for turn in range(2 if self._returning else 1):
            self.ports = self._find_ports()
            self.y = dict(place_stops(self.layers, self.ports, self._gap))
            if turn == 0:
                self._choose_sides()
        self._find_lanes()
        self._move_down()
        width = self._place_columns(0.0)
        if width < _NARROW and len(self.left) > 1:
            width = self._place_columns(min(140.0, (_NARROW - width) / (len(self.left) - 1)))
        self.width = max(_NARROW, width)
        self._place_returns()

    def thickness(self, link: Link) -> float:
        """Width of a ribbon, to scale but for a least one that can be seen [px]."""
        return max(_THIN, link.rate * self.scale)

    def _scale(self) -> float:
        """Pixels for a unit a second: the layer with most flow gets a set height."""
        most, rows = 0.0, 0
        for column in self.layers.columns:
            total = 0.0
            for stop in column:
                rate = stop.link.rate if stop.link is not None else 0.0
                total += self.flows.get(stop.node, 0.0) if stop.node is not None else rate
            most, rows = max(most, total), max(rows, len(column))
        return max(_TALL, 16.0 * rows) / most if most else 1.0

    def _find_ports(self) -> Ports:
        ports = Ports()
        for column in self.layers.columns:
            for stop in column:
                self._ports_of(stop, ports)
        return ports

    def _ports_of(self, stop: Stop, ports: Ports) -> None:
        """Stack the links on both sides of a stop in the order of the stops at their other ends."""
        for near, side, found in (
            (stop.before, "target", ports.left),
            (stop.after, "source", ports.right),
        ):
            ordered = [link for link, _ in sorted(near, key=lambda pair: pair[1].place)]
            back = [link for link in self._returning if getattr(link, side) == stop.node]
            ordered = [
                *(link for link in back if link in self.above),
                *ordered,
                *(link for link in back if link not in self.above),
            ]
            slots = [self._slot(stop, link, side) for link in ordered]
            outside = self.ends.get(stop.node, (0.0, 0.0)) if stop.node is not None else (0.0, 0.0)
            level = -(sum(slots) + outside[side == "source"] * self.scale) / 2
            for link, slot in zip(ordered, slots, strict=True):
                found[id(stop), link] = level + slot / 2
                level += slot

    def _slot(self, stop: Stop, link: Link, side: str) -> float:
        """Room that a link takes at the side of a stop [px]."""
        if stop.node is None or stop.node.kind == "material":
            return self.thickness(link)
        return max(self.thickness(link), _SLOT_IN if side == "target" else _SLOT_OUT)

    def _height(self, stop: Stop) -> float:
        return self.tall[id(stop)]

    def _find_height(self, stop: Stop) -> float:
        node = stop.node
        if node is None:
            assert stop.link is not None
            return self.thickness(stop.link)
        sides = [
            sum(self._slot(stop, link, side) for link in self.graph.links if end(link) == node)
            for side, end in (("target", _target), ("source", _source))
        ]
        if node.kind == "material":
            return max(3.0, *sides, self.flows.get(node, 0.0) * self.scale)
        return max(18.0 + 13 * len(self.words[node]), *sides)

    def _over(self, stop: Stop) -> float:
        """Room over the body of a stop, for words [px]."""
        if stop.node is None or stop.node.kind == "process":
            return 0.0
        return 13.0 * len(self.words[stop.node]) + 3

    def _gap(self, one: Stop, other: Stop) -> float:
        """Least distance between the middles of two neighbours [px]."""
        room = 7.0 if one.node is None and other.node is None else 12.0
        return self._height(one) / 2 + room + self._over(other) + self._height(other) / 2

    def _choose_sides(self) -> None:
        """Returns go over what lies between their ends where that is nearer than under it."""
        for link in self._returning:
            start, end = self.layers.stops[link.source], self.layers.stops[link.target]
            top, bottom = self._extent(end.layer, start.layer)
            ends = (self.y[id(start)] + self.y[id(end)]) / 2
            if ends - top < bottom - ends:
                self.above.add(link)

    def _extent(self, first: int, last: int) -> tuple[float, float]:
        """The highest and the lowest of what stands in these layers."""
        stops = [stop for stop in self.stops if first <= stop.layer <= last]
        tops = [self.y[id(stop)] - self._height(stop) / 2 - self._over(stop) for stop in stops]
        return min(tops), max(self.y[id(stop)] + self._height(stop) / 2 for stop in stops)

    def _find_lanes(self) -> None:
        """A height for each return: as near to what it passes as other returns allow."""
        stops = self.layers.stops
        taken: list[tuple[int, int, float, float]] = []
        self.lanes: dict[Link, float] = {}
        for link in sorted(self._returning, key=self._reach):
            first, last = stops[link.target].layer, stops[link.source].layer
            thick, above = self.thickness(link), link in self.above
            top, bottom = self._extent(first, last)
            half = thick / 2 + 6
            lane = top - half - 2 if above else bottom + half + 2
            step = -4.0 if above else 4.0
            while any(
                first <= end and start <= last and high < lane + half and lane - half < low
                for start, end, high, low in taken
            ):
                lane += step
            taken.append((first, last, lane - half, lane + half))
            self.lanes[link] = lane

    def _reach(self, link: Link) -> tuple[int, int]:
        stops = self.layers.stops
        return stops[link.source].layer - stops[link.target].layer, link.source.index

    def _move_down(self) -> None:
        """Let the drawing begin under its head."""
        tops = [self.y[id(stop)] - self._height(stop) / 2 - self._over(stop) for stop in self.stops]
        tops += [lane - self.thickness(link) / 2 for link, lane in self.lanes.items()]
        shift = _TOP + 6 - min(tops, default=0)
        self.y = {key: round(value + shift, 1) for key, value in self.y.items()}
        self.lanes = {link: round(lane + shift, 1) for link, lane in self.lanes.items()}
        bottoms = [self.y[id(stop)] + self._height(stop) / 2 for stop in self.stops]
        bottoms += [lane + self.thickness(link) / 2 for link, lane in self.lanes.items()]
        self.height = round(max(bottoms, default=_TOP + 40) + 26)

    def _tracks(self) -> dict[int, list[tuple[Link, str]]]:
        """Upright runs of returns in each gap; gap n lies before layer n."""
        tracks: dict[int, list[tuple[Link, str]]] = defaultdict(list)
        for link in self._returning:
            tracks[self.layers.stops[link.target].layer].append((link, "in"))
            tracks[self.layers.stops[link.source].layer + 1].append((link, "out"))
        return tracks

    def _place_columns(self, more: float) -> float:
        """From left to right: layers, and gaps as wide as the steepest link needs, and `more`.

        The width of all of it [px].
        """
        tracks = self._tracks()
        self.left: list[float] = []
        self.zone: list[float] = []
        x = 20.0
        for index, column in enumerate(self.layers.columns):
            steep = 0.0
            for stop in column:
                for link, other in stop.before:
                    start = self.y[id(other)] + self.ports.right[id(other), link]
                    goal = self.y[id(stop)] + self.ports.left[id(stop), link]
                    steep = max(steep, abs(goal - start))
            room = sum(self.thickness(link) + 9 for link, _ in tracks[index])
            x += (STUB if index == 0 else more + min(60.0, 24 + 0.2 * steep)) + room
            kinds = {stop.node.kind for stop in column if stop.node is not None}
            width = BOX if "process" in kinds else ZONE if kinds else 0.0
            self.left.append(round(x, 1))
            self.zone.append(width)
            for stop in column:
                if stop.node is not None:
                    self._place_node(stop, stop.node, x, width)
            x += width
        self.runs = [Run(link, self._levels(link, chain)) for link, chain in self.layers.chains]
        last = sum(self.thickness(link) + 9 for link, _ in tracks[len(self.left)])
        return round(x + last + STUB + 20)

    def _place_node(self, stop: Stop, node: Node, x: float, zone: float) -> None:
        width = BOX if node.kind == "process" else BAR
        height = round(self._height(stop), 1)
        top = round(self.y[id(stop)] - height / 2, 1)
        self.box[node] = (round(x + (zone - width) / 2, 1), top, width, height)

    def _levels(self, link: Link, chain: Sequence[Stop]) -> tuple[tuple[float, float, float], ...]:
        levels = []
        for stop in chain:
            left, right = self.left[stop.layer], self.left[stop.layer] + self.zone[stop.layer]
            y = self.y[id(stop)]
            if stop is chain[0]:
                assert stop.node is not None
                x, _, width, _ = self.box[stop.node]
                levels.append(
                    (x + width, max(right, x + width), y + self.ports.right[id(stop), link])
                )
            elif stop is chain[-1]:
                assert stop.node is not None
                x = self.box[stop.node][0]
                levels.append((min(left, x), x, y + self.ports.left[id(stop), link]))
            else:
                levels.append((left, right, y))
        return tuple(levels)

    def _place_returns(self) -> None:
        """Upright runs beside the layers, short returns inside long ones."""
        stops = self.layers.stops
        used: dict[int, dict[str, float]] = defaultdict(lambda: {"in": 0.0, "out": 0.0})
        for link in sorted(self._returning, key=self._reach):
            thick = self.thickness(link)
            source, target = stops[link.source], stops[link.target]
            x, _, width, _ = self.box[link.source]
            start = (x + width, self.y[id(source)] + self.ports.right[id(source), link])
            edge = self.left[source.layer] + self.zone[source.layer]
            outward = used[source.layer + 1]
            out_x = edge + 6 + outward["out"] + thick / 2
            outward["out"] += thick + 9
            inward = used[target.layer]
            end = (self.box[link.target][0], self.y[id(target)] + self.ports.left[id(target), link])
            in_x = self.left[target.layer] - 20 - inward["in"] - thick / 2
            inward["in"] += thick + 9
            self.returns.append(Return(link, start, out_x, self.lanes[link], in_x, end))
