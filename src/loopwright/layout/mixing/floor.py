"""The floor of a mixer: every belt, merge and divert of it, in columns along a row and in rows of
cells, counted inwards from the outermost.

From west to east: the docks, one a material, on the outermost rows; the lanes on their way to the
rows of their leaves; the channel in which they are split; the tree. What is fed back parts from the
output beyond the root and comes back to the channel below all leaves.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache

from loopwright.block.mixer import Leaf, Mixer, Node
from loopwright.block.mixer.mixer import levels_of
from loopwright.grid import Cell
from loopwright.layout.mixing.channel import (
    Net,
    channel_width,
    entry_of,
    nets_of,
    track_cells,
    tracks_of,
)
from loopwright.layout.mixing.tree import (
    STEP,
    firsts_of,
    row_of,
    seats_of,
    way_to,
)
from loopwright.layout.route.bridge import lift_path
from loopwright.layout.route.channel import PITCH

LEAF_CELLS = 4
"""Least length of a belt from the channel to its merge [cells]."""

DOCK_CELLS = 3
"""From the docks to the first bend or track [cells]."""

Path = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Way:
    """A belt: its name, and cells from tail to head."""

    name: str
    path: Path


@dataclass(frozen=True, slots=True)
class Joint:
    """A merge by turns of `many` belts into `one`, or a divert of `one` belt to `many`."""

    name: str
    one: str
    many: tuple[str, ...]
    rule: str


@dataclass(slots=True)
class Floor:
    """`ways` are all belts but the last, which begins with the cells of `outlet`; `docks` are the
    materials from the outermost row inwards, at column `west`. `rows` of cells are used."""

    rows: int
    west: int
    outlet: Path
    docks: tuple[str, ...]
    ways: list[Way] = field(default_factory=list)
    merges: list[Joint] = field(default_factory=list)
    diverts: list[Joint] = field(default_factory=list)


OUTLET = ""
"""Stands for the name of the last belt, which is the drawer's to give."""


def rows_of(mixer: Mixer) -> int:
    """Rows of cells that a mixer takes: one a leaf, and one for what is fed back."""
    return len(mixer.leaves) + (1 if mixer.feedback else 0)


@cache
def mixer_floor(mixer: Mixer, lane: int, end: int, span: int) -> Floor:
    """The floor of `mixer`, whose output comes to column `end` of row `lane`; bridges stay up for
    at most `span` [cells]."""
    return _Plan(mixer, lane, end, span).floor


class _Plan:
    """Draws one floor, from the west to the east."""

    def __init__(self, mixer: Mixer, lane: int, end: int, span: int) -> None:
        self.mixer, self.span, self.end = mixer, span, end
        self.root = end - (2 if mixer.feedback else 1)
        self.seats = seats_of(mixer, self.root)
        self.nets = {net.material: net for net in nets_of(self.seats)}
        tracks = tracks_of(list(self.nets.values()), self.seats)
        first = self.root - STEP * (levels_of(mixer.root) - 1)
        channel = first - LEAF_CELLS - channel_width(tracks)
        self.columns = {m: channel + PITCH * track for m, track in tracks.items()}
        self.tracks = track_cells(list(self.nets.values()), self.columns)
        entries = self._entries()
        bends = sum(row > number for number, (row, _) in enumerate(entries))
        stair = channel - 1 - bends
        self.names: dict[int, str] = {}
        self.stems = 0
        self.floor = Floor(
            rows_of(mixer),
            stair - DOCK_CELLS,
            self._outlet(lane),
            tuple(material for _, material in entries),
        )
        for number, (row, material) in enumerate(entries):
            self._lane(material, number, row, stair + len(entries) - 1 - number)
        if mixer.feedback:
            self._back()
        self._merge(mixer.root, 0, self.root, "mixed" if mixer.feedback else OUTLET)

    def _entries(self) -> list[tuple[int, str]]:
        """The row on which each lane comes to the channel, or to its merge, and its material."""
        rows: dict[str, list[int]] = {}
        for seat in self.seats:
            if seat.material is not None:
                rows.setdefault(seat.material, []).append(seat.row)
        return sorted((entry_of(own), material) for material, own in rows.items())

    def _outlet(self, lane: int) -> Path:
        """From the root, or from the divert beyond it, to the lane's row."""
        row = row_of(self.mixer.root, 0)
        first = self.end if self.mixer.feedback else self.root
        way = way_to(first, row, self.end, lane)
        return (*way, Cell(self.end, lane)) if row != lane else (*way, Cell(self.end, row))

    def _lane(self, material: str, dock: int, row: int, bend: int) -> None:
        """From the dock on row `dock` to `row`, by column `bend`, and on as far as it is one."""
        name = f"supply {material}"
        if row > dock:
            head = way_to(self.floor.west + 1, dock, bend, row + 1)
            start = bend + 1
        else:
            head, start = (), self.floor.west + 1
        net = self.nets.get(material)
        if net is None:
            seat = self.seats[row]
            self._add(name, (*head, *seat.way(start)), material)
            self.names[row] = name
            return
        column = self.columns[material]
        self._add(name, (*head, *(Cell(x, row) for x in range(start, column + 1))), material)
        above = [other for other in net.rows if other < row]
        below = [other for other in net.rows if other > row]
        outlets = [self._leaf(net, row, row)]
        if above:
            outlets.append(self._leaf(net, row, above[0]))
        outlets.append(self._rest(net, row, below))
        self._divert(f"split {material}", name, outlets, "alternate")

    def _leaf(self, net: Net, start: int, row: int) -> str:
        """The belt from a divert on row `start` of the track to the leaf on `row`; its name."""
        seat, column = self.seats[row], self.columns[net.material]
        step = 1 if row > start else -1
        across = tuple(Cell(column, r) for r in range(start + step, row + step, step))
        name = _leaf_name(net, row)
        way = (*(across if row != start else ()), *seat.way(column + 1))
        self._add(name, way, net.material)
        self.names[row] = name
        return name

    def _rest(self, net: Net, start: int, rows: Sequence[int]) -> str:
        """What a divert on row `start` of the track sends on, to all leaves on `rows`."""
        if len(rows) == 1:
            return self._leaf(net, start, rows[0])
        column, row = self.columns[net.material], rows[0]
        step = 1 if row > start else -1
        name = f"{net.material or 'feedback'} past {_leaf_number(row)}"
        way = tuple(Cell(column, r) for r in range(start + step, row + step, step))
        self._add(name, way, net.material)
        outlets = [self._leaf(net, row, row), self._rest(net, row, rows[1:])]
        where = f"{net.material or 'feedback'} {_leaf_number(row)}"
        self._divert(f"split {where}", name, outlets, "alternate")
        return name

    def _back(self) -> None:
        """What is fed back, from beyond the root to its leaves."""
        net = self.nets[None]
        row, below = row_of(self.mixer.root, 0), len(self.seats)
        out, column = self.root + 1, self.columns[None]
        self._add("mixed", (Cell(self.root, row), Cell(out, row)), None)
        down = tuple(Cell(out, r) for r in range(row + 1, below + 1))
        along = tuple(Cell(x, below) for x in range(out - 1, column - 1, -1))
        rows = net.rows[::-1]
        up = tuple(Cell(column, r) for r in range(below - 1, rows[0] - 1, -1))
        way = (*down, *along, *up)
        if len(rows) == 1:
            self._add("feedback", (*way, *self.seats[rows[0]].way(column + 1)), None)
            self.names[rows[0]] = "feedback"
        else:
            self._add("feedback", way, None)
            outlets = [self._leaf(net, rows[0], rows[0]), self._rest(net, rows[0], rows[1:])]
            self._divert("split feedback", "feedback", outlets, "alternate")
        self._divert("feedback first", "mixed", ["feedback", OUTLET], "overflow")

    def _merge(self, node: Node, first: int, u: int, outlet: str) -> None:
        """The merge of `node` at column `u`, and all before it."""
        here = row_of(node, first)
        found = []
        for inlet, begin in zip(node.inlets, firsts_of(node, first), strict=True):
            if isinstance(inlet, Leaf):
                found.append(self.names[begin])
                continue
            self.stems += 1
            stem = f"mix {self.stems}"
            self._add(stem, way_to(u - STEP, row_of(inlet, begin), u, here), None)
            self._merge(inlet, begin, u - STEP, stem)
            found.append(stem)
        name = f"merge {len(self.floor.merges) + 1}"
        self.floor.merges.append(Joint(name, outlet, tuple(found), "alternate"))

    def _divert(self, name: str, inlet: str, outlets: Sequence[str], rule: str) -> None:
        self.floor.diverts.append(Joint(name, inlet, tuple(outlets), rule))

    def _add(self, name: str, path: Path, material: str | None) -> None:
        """A belt, raised over the tracks of others; None is what carries several materials."""
        others = {cell for cell, owner in self.tracks.items() if owner != material}
        self.floor.ways.append(Way(name, lift_path(name, path, others, (), self.span)))


def _leaf_number(row: int) -> int:
    return row + 1


def _leaf_name(net: Net, row: int) -> str:
    return f"leaf {_leaf_number(row)} {net.material}" if net.material else f"feedback {row + 1}"
