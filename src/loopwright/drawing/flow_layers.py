"""Layers of a flow diagram: what comes before what, and where links pass.

The method is the usual one for layered drawings (Sugiyama, Tagawa and Toda, 1981): rings are cut,
nodes get layers, long links get a point in every layer that they pass, and the order within layers
is improved by sweeps.
"""

from __future__ import annotations

from bisect import bisect_right, insort
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from loopwright.drawing.flow_graph import Graph, Link, Node

SWEEPS = 16


@dataclass(slots=True, eq=False)
class Stop:
    """A node, or a point where a long link passes a layer (then `node` is None).

    `before` and `after` are pairs of a link and the stop at its other end.
    """

    layer: int
    node: Node | None
    link: Link | None = None
    before: list[tuple[Link, Stop]] = field(default_factory=list)
    after: list[tuple[Link, Stop]] = field(default_factory=list)
    place: int = 0


@dataclass(frozen=True, slots=True)
class Layers:
    """Stops of each layer from top to bottom; `chains` are the stops along each forward link."""

    columns: tuple[tuple[Stop, ...], ...]
    stops: Mapping[Node, Stop]
    chains: tuple[tuple[Link, tuple[Stop, ...]], ...]


def node_layers(graph: Graph) -> dict[Node, int]:
    """Layer of each node: as late as its users allow, products last.

    What leads to no product, such as surplus and what only returns, comes right after its source.
    Materials stand in even layers, processes in odd ones.
    """
    forward = graph.forward()
    after: dict[Node, list[Node]] = defaultdict(list)
    before: dict[Node, list[Node]] = defaultdict(list)
    for link in forward:
        after[link.source].append(link.target)
        before[link.target].append(link.source)
    order = _in_order(graph.nodes, before, after)
    ahead: dict[Node, int] = {}
    for node in reversed(order):
        found = [ahead[other] + 1 for other in after[node] if other in ahead]
        if node.kind == "material" and node.name in graph.products:
            found.append(0)
        if found:
            ahead[node] = max(found)
    aside: dict[Node, int] = {}
    for node in reversed(order):
        if node not in ahead:
            aside[node] = 1 + max((aside[other] for other in after[node]), default=0)
    last = max(ahead.values(), default=0)
    layer = {node: last - far for node, far in ahead.items()}
    for node in order:
        if node not in layer:
            known = [layer[other] for other in before[node]]
            layer[node] = 1 + max(known) if known else _free_layer(node, after[node], layer)
    shift = -min(layer.values(), default=0)
    if any((layer[node] + shift) % 2 for node in graph.nodes if node.kind == "material"):
        shift += 1
    return {node: layer[node] + shift for node in graph.nodes}


def _free_layer(node: Node, users: Sequence[Node], layer: Mapping[Node, int]) -> int:
    """Layer of a source whose users lead nowhere: just before them, or at the left."""
    known = [layer[other] for other in users if other in layer]
    return min(known) - 1 if known else 0 if node.kind == "material" else 1


def _in_order(
    nodes: Sequence[Node], before: Mapping[Node, list[Node]], after: Mapping[Node, list[Node]]
) -> list[Node]:
    degree = {node: len(before.get(node, ())) for node in nodes}
    ready = [node for node in nodes if not degree[node]]
    order = []
    while ready:
        node = ready.pop()
        order.append(node)
        for other in after.get(node, ()):
            degree[other] -= 1
            if not degree[other]:
                ready.append(other)
    return order


def lay_out_layers(graph: Graph) -> Layers:
    """Stops in layers, ordered so that few links cross."""
    layer = node_layers(graph)
    columns: list[list[Stop]] = [[] for _ in range(max(layer.values(), default=-1) + 1)]
    stops: dict[Node, Stop] = {}
    for node in graph.nodes:
        stops[node] = Stop(layer[node], node)
        columns[layer[node]].append(stops[node])
    chains: list[tuple[Link, tuple[Stop, ...]]] = []
    for link in graph.forward():
        start, end = stops[link.source], stops[link.target]
        passed = [Stop(level, None, link) for level in range(start.layer + 1, end.layer)]
        for stop in passed:
            columns[stop.layer].append(stop)
        chain = (start, *passed, end)
        for one, other in pairwise(chain):
            one.after.append((link, other))
            other.before.append((link, one))
        chains.append((link, chain))
    ordered = _ordered(columns)
    return Layers(tuple(map(tuple, ordered)), stops, tuple(chains))


def crossings(columns: Sequence[Sequence[Stop]]) -> int:
    """How often links cross between neighbouring layers."""
    total = 0
    for column in columns:
        below: list[int] = []
        for stop in column:
            ends = sorted(other.place for _, other in stop.after)
            total += sum(len(below) - bisect_right(below, end) for end in ends)
            for end in ends:
                insort(below, end)
    return total


def _number(columns: Sequence[Sequence[Stop]]) -> None:
    for column in columns:
        for index, stop in enumerate(column):
            stop.place = index


def _ordered(columns: list[list[Stop]]) -> list[list[Stop]]:
    """The best order that the sweeps come upon, from two different starts."""
    starts = [columns, _by_walk(columns)]
    best, least = columns, -1
    for start in starts:
        current = [list(column) for column in start]
        _number(current)
        for sweep in range(SWEEPS):
            _sweep(current, down=sweep % 2 == 0)
            _swap(current)
            count = crossings(current)
            if least < 0 or count < least:
                best, least = [list(column) for column in current], count
            if count == 0:
                break
    _number(best)
    return best


def _by_walk(columns: list[list[Stop]]) -> list[list[Stop]]:
    """Stops in the order of a walk back from the last layer, so that each tree stays together."""
    fresh: list[list[Stop]] = [[] for _ in columns]
    seen: set[int] = set()
    for column in reversed(columns):
        for root in column:
            stack = [root]
            while stack:
                stop = stack.pop()
                if id(stop) in seen:
                    continue
                seen.add(id(stop))
                fresh[stop.layer].append(stop)
                stack += [other for _, other in (*stop.after, *stop.before)]
    return fresh


def _sweep(columns: list[list[Stop]], *, down: bool) -> None:
    """Sort each layer by the middle of its neighbours in the layer before, or after."""
    for column in columns if down else reversed(columns):
        weight: dict[int, float] = {}
        for stop in column:
            near = sorted(other.place for _, other in (stop.before if down else stop.after))
            weight[id(stop)] = _middle(near) if near else float(stop.place)
        column.sort(key=lambda stop: (weight[id(stop)], stop.place))
        for index, stop in enumerate(column):
            stop.place = index


def _middle(near: Sequence[int]) -> float:
    """Between mean and median: the median, pulled a little to the mean so that ties are rare."""
    half = len(near) // 2
    median = near[half] if len(near) % 2 else (near[half - 1] + near[half]) / 2
    return median + (sum(near) / len(near) - median) * 0.1


def _swap(columns: list[list[Stop]]) -> None:
    """Exchange neighbours as long as that takes crossings away."""
    for column in columns:
        ends = {
            id(stop): (
                sorted(other.place for _, other in stop.before),
                sorted(other.place for _, other in stop.after),
            )
            for stop in column
        }
        better, rounds = True, 0
        while better and rounds < 6:
            better, rounds = False, rounds + 1
            for index in range(len(column) - 1):
                one, other = column[index], column[index + 1]
                mine, theirs = ends[id(one)], ends[id(other)]
                if _over(mine, theirs) > _over(theirs, mine):
                    column[index], column[index + 1] = other, one
                    better = True
        for index, stop in enumerate(column):
            stop.place = index


def _over(upper: tuple[list[int], list[int]], lower: tuple[list[int], list[int]]) -> int:
    """Crossings of the links of two neighbours, with the first above the second."""
    count = 0
    for mine, theirs in zip(upper, lower, strict=True):
        if mine and theirs and mine[-1] > theirs[0]:
            count += sum(place > other for place in mine for other in theirs)
    return count
