"""Heights in a flow diagram: stops keep their order, and links run as level as they can."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise

from loopwright.drawing.flow_graph import Link
from loopwright.drawing.flow_layers import Layers, Stop

ROUNDS, STRAIGHTENED = 40, 8
FAR = 1e9


class Ports:
    """Where links meet their stops, measured from the stop's middle [px]."""

    def __init__(self) -> None:
        self.left: dict[tuple[int, Link], float] = {}
        self.right: dict[tuple[int, Link], float] = {}


def spread(wanted: Sequence[float], weights: Sequence[float], gaps: Sequence[float]) -> list[float]:
    """Places nearest to those wanted (least squares) with at least `gaps` between neighbours.

    Neighbours that would come too near are moved as one, to the weighted mean of their wishes.
    """
    total, starts = 0.0, [0.0]
    for gap in gaps:
        total += gap
        starts.append(total)
    blocks: list[tuple[float, float, int]] = []
    for wish, weight, start in zip(wanted, weights, starts, strict=True):
        mean, heavy, count = wish - start, weight, 1
        while blocks and blocks[-1][0] > mean:
            other, others, more = blocks.pop()
            mean = (mean * heavy + other * others) / (heavy + others)
            heavy, count = heavy + others, count + more
        blocks.append((mean, heavy, count))
    places = [mean for mean, _, count in blocks for _ in range(count)]
    return [place + start for place, start in zip(places, starts, strict=True)]


def place_stops(
    layers: Layers, ports: Ports, gap: Callable[[Stop, Stop], float]
) -> Mapping[int, float]:
    """The height of the middle of each stop, by its id [px].

    `gap` is the least distance between the middles of two neighbours, the upper one first.
    """
    gaps = [[gap(one, other) for one, other in pairwise(column)] for column in layers.columns]
    y: dict[int, float] = {}
    for column, distances in zip(layers.columns, gaps, strict=True):
        level = -sum(distances) / 2
        for index, stop in enumerate(column):
            y[id(stop)] = level
            level += distances[index] if index < len(distances) else 0
    pulls = {id(stop): _pulls(stop, ports) for column in layers.columns for stop in column}
    for turn in range(ROUNDS):
        ways = list(zip(layers.columns, gaps, strict=True))
        for column, distances in ways if turn % 2 == 0 else reversed(ways):
            wishes = [_wish(id(stop), pulls, y, firm=turn > ROUNDS // 3) for stop in column]
            found = spread([w for w, _ in wishes], [h for _, h in wishes], distances)
            y.update((id(stop), place) for stop, place in zip(column, found, strict=True))
    for _ in range(STRAIGHTENED):
        _straighten(layers, gaps, y)
    return y


def _straighten(layers: Layers, gaps: Sequence[Sequence[float]], y: dict[int, float]) -> None:
    """Move the points of each long link, within the room beside them, onto few levels."""
    for _, chain in layers.chains:
        points = chain[1:-1]
        start = 0
        while start < len(points):
            low, high = _room(layers, gaps, y, points[start])
            end = start + 1
            while end < len(points):
                least, most = _room(layers, gaps, y, points[end])
                if max(low, least) > min(high, most):
                    break
                low, high, end = max(low, least), min(high, most), end + 1
            piece = points[start:end]
            middle = sum(y[id(stop)] for stop in piece) / len(piece)
            level = min(max(middle, low), high)
            y.update((id(stop), level) for stop in piece)
            start = end


def _room(
    layers: Layers, gaps: Sequence[Sequence[float]], y: Mapping[int, float], stop: Stop
) -> tuple[float, float]:
    """The highest and the lowest place that the neighbours leave to a stop."""
    column, distances = layers.columns[stop.layer], gaps[stop.layer]
    place, here = stop.place, y[id(stop)]
    low = y[id(column[place - 1])] + distances[place - 1] if place else -FAR
    high = y[id(column[place + 1])] - distances[place] if place + 1 < len(column) else FAR
    return min(low, here), max(high, here)


Pull = tuple[int, float, float]
"""Another stop by its id, how far from its height one wants to be [px], and how much."""


def _pulls(stop: Stop, ports: Ports) -> list[Pull]:
    """What would make the links of a stop level; long ways matter more than short ones."""
    found = []
    for near, mine, theirs in (
        (stop.before, ports.left, ports.right),
        (stop.after, ports.right, ports.left),
    ):
        for link, other in near:
            passes = (stop.node is None) + (other.node is None)
            shift = theirs[id(other), link] - mine[id(stop), link]
            found.append((id(other), shift, (1.0, 2.0, 6.0)[passes]))
    return found


def _wish(
    stop: int, pulls: Mapping[int, list[Pull]], y: Mapping[int, float], *, firm: bool
) -> tuple[float, float]:
    """Where the links of a stop would be level, and how much that matters.

    While `firm`, links that are nearly level count most, so that ways become straight pieces with
    few bends instead of many small ones (weighted least squares that tend to least distances).
    """
    total, weight = 0.0, 0.0
    here = y[stop]
    for other, shift, heavy in pulls[stop]:
        level = y[other] + shift
        pull = heavy / (3.0 + abs(level - here)) if firm else heavy
        total += pull * level
        weight += pull
    return (total / weight, weight) if weight else (here, 0.001)
