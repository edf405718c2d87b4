"""Belts as marks: bands in the colours of what they carry, arrows, letters and bridges."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from loopwright.drawing.mark import CELL, Area, Line, Mark, Point, Symbol, Text, rectangle
from loopwright.grid import Box, Cell, Heading
from loopwright.grid.path import heading_between
from loopwright.layout.layout import Belt, Layout

DASH = 20
"""Length of one material's piece in the band of a mixed belt [sheet units]."""

REPEAT = 30
"""Cells of straight belt after which arrow and letters come again."""

ANGLES = {Heading.EAST: 0, Heading.SOUTH: 90, Heading.WEST: 180, Heading.NORTH: 270}


def centre(cell: Cell) -> Point:
    """The middle of a cell on the sheet."""
    return (cell.x * CELL + CELL / 2, cell.y * CELL + CELL / 2)


def nearest_of(box: Box, point: Point) -> Point:
    """The point of a box nearest to `point`."""
    x = min(max(point[0], box.x * CELL), (box.x + box.width) * CELL)
    y = min(max(point[1], box.y * CELL), (box.y + box.height) * CELL)
    return (x, y)


def between(one: Point, other: Point, share: float) -> Point:
    """The point `share` of the way from `one` to `other`."""
    return (one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share)


def travel(belt: Belt) -> list[Heading]:
    """Heading at each cell of a belt; where a step is broken, as before it."""
    found: list[Heading] = []
    last = Heading.EAST
    for one, other in pairwise(belt.path):
        last = heading_between(one, other) or last
        found.append(last)
    return [*found, last]


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of a belt on one level; `start` is its distance from the belt's entry."""

    belt: Belt
    level: int
    points: tuple[Point, ...]
    start: float


class Ends:
    """Where each belt's line begins and ends, given what it is joined to."""

    def __init__(self, layout: Layout) -> None:
        paths = {belt.name: belt.path for belt in layout.belts if belt.path}
        self.entry: dict[str, Point] = {}
        self.exit: dict[str, Point] = {}
        for source in layout.sources:
            self._join(self.entry, paths, source.belt, 0, source.at, 0.5)
        for drain in layout.drains:
            self._join(self.exit, paths, drain.belt, -1, drain.at, 0.5)
        for merge in layout.merges:
            self._join(self.entry, paths, merge.outlet, 0, merge.at, 1)
            for inlet in merge.inlets:
                self._join(self.exit, paths, inlet, -1, merge.at, 1.3)
        for side in layout.side_merges:
            main = paths.get(side.main, ())
            if 0 <= side.index < len(main):
                self._join(self.exit, paths, side.inlet, -1, main[side.index], 0.68)
        for divert in layout.diverts:
            self._join(self.exit, paths, divert.inlet, -1, divert.at, 1)
            for outlet in divert.outlets:
                self._join(self.entry, paths, outlet, 0, divert.at, 1)
        for gate in layout.gates:
            for inlet in (*gate.inlets, *([gate.main] if gate.main else [])):
                if inlet in paths:
                    self.exit[inlet] = nearest_of(gate.box, centre(paths[inlet][-1]))
            if gate.outlet in paths:
                self.entry[gate.outlet] = nearest_of(gate.box, centre(paths[gate.outlet][0]))

    @staticmethod
    def _join(
        ends: dict[str, Point],
        paths: dict[str, tuple[Cell, ...]],
        belt: str,
        index: int,
        at: Cell,
        share: float,
    ) -> None:
        if belt not in paths:
            return
        own = paths[belt][index]
        if own.at_level(0) != at.at_level(0):
            ends[belt] = between(centre(own), centre(at), share)
        elif share == 1:
            ends[belt] = centre(own)

    def line(self, belt: Belt) -> list[tuple[int, Point]]:
        """(level, point) of the whole line of a belt, with a point at each change of level."""
        ways = travel(belt)
        first, last = centre(belt.path[0]), centre(belt.path[-1])
        back, forth = ways[0].vector, ways[-1].vector
        half = CELL / 2
        entry = self.entry.get(belt.name, (first[0] - back[0] * half, first[1] - back[1] * half))
        leave = self.exit.get(belt.name, (last[0] + forth[0] * half, last[1] + forth[1] * half))
        line = [(belt.path[0].level, entry)]
        for one, other in pairwise(belt.path):
            line.append((one.level, centre(one)))
            if one.level != other.level:
                middle = between(centre(one), centre(other), 0.5)
                line += [(one.level, middle), (other.level, middle)]
        return [*line, (belt.path[-1].level, last), (belt.path[-1].level, leave)]


def simplified(points: list[Point]) -> tuple[Point, ...]:
    """The same line without repeated points and points in the middle of a straight."""
    kept: list[Point] = []
    for point in points:
        if kept and kept[-1] == point:
            continue
        if len(kept) > 1:
            (ax, ay), (bx, by) = kept[-2], kept[-1]
            cross = (bx - ax) * (point[1] - by) - (by - ay) * (point[0] - bx)
            ahead = (bx - ax) * (point[0] - bx) + (by - ay) * (point[1] - by)
            if cross == 0 and ahead > 0:
                kept.pop()
        kept.append(point)
    return tuple(kept)


def _length(points: tuple[Point, ...]) -> float:
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))


def pieces(belt: Belt, ends: Ends) -> list[Piece]:
    """The belt cut where it changes level."""
    found: list[Piece] = []
    run: list[Point] = []
    start = 0.0
    line = ends.line(belt)
    for index, (level, point) in enumerate(line):
        run.append(point)
        if index + 1 == len(line) or line[index + 1][0] != level:
            points = simplified(run)
            if len(points) > 1:
                found.append(Piece(belt, level, points, start))
                start += _length(points)
            run = []
    return found


def letters_word(letters: Sequence[str]) -> str:
    """Letters of materials side by side; with gaps where one of them has two characters."""
    return ("" if all(len(letter) == 1 for letter in letters) else " ").join(letters)


def belt_tooltip(belt: Belt, letters: str) -> str:
    """What a reader wants to know of a belt."""
    carried = f"carries {letters}" if letters else "carries nothing"
    return f"{belt.name}: {belt.role}, {carried}, {len(belt.path)} cells at {belt.speed} cells/s"


def _bands(piece: Piece, numbers: list[int], layer: str, tooltip: str) -> Iterator[Mark]:
    if not numbers:
        yield Line(piece.points, "belt-empty", layer, tooltip=tooltip)
    elif len(numbers) == 1:
        yield Line(piece.points, f"band{numbers[0]}", layer, tooltip=tooltip)
    for place, number in enumerate(numbers if len(numbers) > 1 else []):
        dash = (DASH, DASH * (len(numbers) - 1))
        offset = (piece.start - DASH * place) % (DASH * len(numbers))
        yield Line(piece.points, f"band{number}", layer, tooltip=tooltip, dash=dash, offset=offset)


def _bridge(piece: Piece) -> Iterator[Mark]:
    yield Line(piece.points, "casing", "bridges", "deck")
    yield Line(piece.points, "rail", "bridges", "deck")
    yield Line(piece.points, "deck", "bridges", "deck")
    for at, other in ((piece.points[0], piece.points[1]), (piece.points[-1], piece.points[-2])):
        span = hypot(other[0] - at[0], other[1] - at[1])
        dx, dy = (other[0] - at[0]) / span, (other[1] - at[1]) / span
        left = (at[0] - dy * 6.2, at[1] + dx * 6.2)
        right = (at[0] + dy * 6.2, at[1] - dx * 6.2)
        yield Line((left, right), "abutment", "bridges", "deck")


def signs(belt: Belt, busy: frozenset[int] = frozenset()) -> tuple[list[int], list[int]]:
    """Path indexes of the arrows (ends, turns, now and then) and of the letters.

    Letters keep away from the cells in `busy`.
    """
    ways = travel(belt)
    count = len(ways)
    wanted = {0, count - 1} | {i + 1 for i in range(count - 1) if ways[i] is not ways[i + 1]}
    arrows: list[int] = []
    for index in sorted(i for i in wanted if i < count):
        if index == count - 1 and arrows and index - arrows[-1] < 2:
            continue
        if arrows and index - arrows[-1] > REPEAT * 3 // 2:
            arrows.extend(range(arrows[-1] + REPEAT, index - REPEAT // 2, REPEAT))
        arrows.append(index)
    letters: list[int] = []
    taken = set(arrows)
    for first in [2, *(i + 2 for i in arrows[1:-1]), count - 3]:
        index = next((i for i in (first, first + 1, first - 1) if i not in busy), first)
        spaced = not letters or index - letters[-1] >= 5
        straight = 0 < index < count - 1 and ways[index - 1] is ways[index] is ways[index + 1]
        level = straight and belt.path[index - 1].level == belt.path[index].level
        if spaced and level and not {index - 1, index, index + 1} & taken:
            letters.append(index)
    return arrows, letters


def _way_out(at: Point, leave: Point | None) -> Heading | None:
    """Heading from the head's cell to where the belt's line ends, where it is plain."""
    if leave is None or (leave[0] != at[0]) == (leave[1] != at[1]):
        return None
    if leave[0] != at[0]:
        return Heading.EAST if leave[0] > at[0] else Heading.WEST
    return Heading.SOUTH if leave[1] > at[1] else Heading.NORTH


def _sign_marks(
    belt: Belt, letters: str, busy: frozenset[int], leave: Point | None
) -> Iterator[Mark]:
    ways = travel(belt)
    ways[-1] = _way_out(centre(belt.path[-1]), leave) or ways[-1]
    arrows, plates = signs(belt, busy)
    for index in arrows:
        layer = "bridges" if belt.path[index].level else "flow"
        angle = ANGLES[ways[index]]
        yield Symbol(centre(belt.path[index]), "arrow", 9, "arrow", layer, "arrows", angle=angle)
    for index in plates if letters else []:
        layer = "bridges" if belt.path[index].level else "flow"
        x, y = centre(belt.path[index])
        upright = ways[index].vector[0] == 0
        length = 3.9 * len(letters) + 2.4
        width, height = (6.4, length) if upright else (length, 6.4)
        plate = rectangle(x - width / 2, y - height / 2, width, height)
        yield Area(plate, "plate", layer, "plates")
        angle = 270 if upright else 0
        yield Text((x, y), letters, 5.4, "strong", layer, "letters", angle=angle)


def belt_marks(layout: Layout, carried: dict[str, tuple[str, ...]]) -> list[Mark]:
    """All belts: edges first, then bands, signs of flow, bridges on top."""
    ends = Ends(layout)
    numbers = {material.name: i + 1 for i, material in enumerate(layout.materials)}
    letters = {material.name: material.letter for material in layout.materials}
    busy: dict[str, set[int]] = defaultdict(set)
    for picker in layout.pickers:
        for port in (picker.source, picker.target):
            if port.index is not None:
                busy[port.device].add(port.index)
    edges: list[Mark] = []
    bands: list[Mark] = []
    flow: list[Mark] = []
    bridges: list[Mark] = []
    for belt in layout.belts:
        if not belt.path:
            continue
        held = carried.get(belt.name, ())
        word = letters_word([letters[name] for name in held])
        tooltip = belt_tooltip(belt, " ".join(letters[name] for name in held))
        for piece in pieces(belt, ends):
            kinds = [numbers[name] for name in held]
            if piece.level:
                bridges.extend(_bridge(piece))
                bridges.append(Line(piece.points, "belt-edge", "bridges"))
                bridges.extend(_bands(piece, kinds, "bridges", tooltip))
            else:
                edges.append(Line(piece.points, "belt-edge", "belts", "edges"))
                bands.extend(_bands(piece, kinds, "belts", tooltip))
        for mark in _sign_marks(belt, word, frozenset(busy[belt.name]), ends.exit.get(belt.name)):
            (bridges if mark.layer == "bridges" else flow).append(mark)
    return [*edges, *bands, *flow, *bridges]
