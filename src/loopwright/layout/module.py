"""Modules: what is placed as one piece. A pair of rows, or a group with its make-up row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from loopwright.block.block import Row
from loopwright.finding import DesignError, Finding, new_finding
from loopwright.grid import Cell, Heading
from loopwright.layout.draft import Draft
from loopwright.layout.drained import DRAINED
from loopwright.layout.frame import Frame
from loopwright.layout.head import (
    OUTPUT_CELLS,
    draw_loop_lane,
    draw_make_up_lane,
    draw_pass_lane,
    draw_plain_lanes,
    head_cells,
    head_depth,
)
from loopwright.layout.layout import Belt, Drain, Merge, SideMerge
from loopwright.layout.parts import Parts
from loopwright.layout.row import (
    RowPlace,
    draw_inlets,
    draw_outlets,
    draw_stations,
    lane_depth,
    row_length,
)


@dataclass(frozen=True, slots=True)
class Module:
    """Rows that are placed together.

    `pairs` are the rows round each output belt, from north to south, one or two each; the last
    row of all is a make-up row where the module has one.
    """

    architecture: str
    pairs: tuple[tuple[Row, ...], ...]

    @property
    def rows(self) -> tuple[Row, ...]:
        """All rows from north to south."""
        return tuple(row for pair in self.pairs for row in pair)

    def width(self, parts: Parts) -> int:
        """Cells from the docks in the west to the docks in the east, both included."""
        longest = max(row.stations for row in self.rows)
        return head_cells(self.architecture, parts) + row_length(longest, parts) + OUTPUT_CELLS + 1

    def height(self, parts: Parts) -> int:
        """Cells from north to south."""
        rows = sum(_pair_height(self, pair, parts) for pair in self.pairs)
        return rows + parts.aisle * (len(self.pairs) - 1)


def make_modules(architecture: str, sides: str, rows: Sequence[Row]) -> list[Module]:
    """Cut the rows of a block into modules.

    Rows of plain and loop stand in pairs (double) or alone (single). In a pass block each
    make-up row closes a group with its share of the main rows.

    Raises
    ------
    DesignError
        LW303: there are more make-up rows than others.
    """
    step = 2 if sides == "double" else 1
    groups = _groups(rows) if architecture == "pass" else _cut(rows, step)
    return [
        Module(architecture, tuple(tuple(pair) for pair in _cut(group, step))) for group in groups
    ]


def _groups(rows: Sequence[Row]) -> list[list[Row]]:
    main = [row for row in rows if row.role == "main"]
    make_up = [row for row in rows if row.role == "make-up"]
    if not make_up:
        return [main]
    if len(make_up) > len(main):
        raise DesignError((_too_many(len(make_up), len(main)),))
    ends = [-(-index * len(main) // len(make_up)) for index in range(len(make_up) + 1)]
    return [
        [*main[first:after], last]
        for (first, after), last in zip(pairwise(ends), make_up, strict=True)
    ]


def _too_many(make_up: int, main: int) -> Finding:
    return new_finding(
        "LW303",
        f"{make_up} make-up rows would live on what {main} rows leave over, and each of them needs "
        "such a row at least",
        remedy="choose longer rows, or `architecture: loop`",
    )


def _cut(rows: Sequence[Row], step: int) -> list[list[Row]]:
    return [list(rows[index : index + step]) for index in range(0, len(rows), step)]


def _row_depth(module: Module, row: Row, parts: Parts) -> int:
    """The outermost `v` that a row of the module uses."""
    if row.role == "make-up":
        return lane_depth(parts, 3 if parts.gate == DRAINED else 2)
    return head_depth(module.architecture, parts, row.stations)


def _pair_height(module: Module, pair: Sequence[Row], parts: Parts) -> int:
    return sum(_row_depth(module, row, parts) for row in pair) + 1


def draw_module(draft: Draft, module: Module, parts: Parts, corner: Cell) -> None:
    """Draw `module` with its north-west corner at `corner`."""
    longest = max(row.stations for row in module.rows)
    west = corner.x + head_cells(module.architecture, parts)
    east = west + row_length(longest, parts)
    top = corner.y
    lanes: list[Belt] = []
    make_up: RowPlace | None = None
    for pair in module.pairs:
        places = []
        middle = top + (_row_depth(module, pair[0], parts) if _faces_north(pair) else 0)
        for index, row in enumerate(pair):
            north = index == 0 and _faces_north(pair)
            away = Heading.NORTH if north else Heading.SOUTH
            if row.role == "make-up":
                frame = Frame(Cell(east, middle), Heading.WEST, away)
                place = RowPlace(row.name, frame, 1, row.stations)
                make_up = place
            else:
                frame = Frame(Cell(west, middle), Heading.EAST, away)
                place = RowPlace(row.name, frame, 0, row.stations)
                lanes += _draw_lanes(draft, module, place, parts, east)
            places.append(place)
        output = _output(places, parts, west, east, middle, over=bool(_collected(module)))
        draft.add(output, _product_dock(places, output))
        for place in places:
            draw_stations(draft, place, parts)
            draw_outlets(draft, place, parts, output)
        top += _pair_height(module, pair, parts) + parts.aisle
    if make_up is not None:
        _draw_leftovers(draft, module, parts, lanes, make_up, east)


def _faces_north(pair: Sequence[Row]) -> bool:
    """The first row of a pair lies north of the output belt, but for a lone make-up row: its
    leftovers come from the north."""
    return pair[0].role != "make-up"


def _collected(module: Module) -> list[Row]:
    return [row for row in module.rows if row.role == "make-up"]


def _draw_lanes(
    draft: Draft, module: Module, place: RowPlace, parts: Parts, east: int
) -> list[Belt]:
    if module.architecture == "plain":
        lanes = draw_plain_lanes(draft, place, parts)
    elif module.architecture == "loop":
        lanes = [draw_loop_lane(draft, place, parts)]
    else:
        lanes = [draw_pass_lane(draft, place, parts, east - place.frame.origin.x - 1)]
    draw_inlets(draft, place, parts, lanes)
    return lanes


def _output(
    places: Sequence[RowPlace], parts: Parts, west: int, east: int, y: int, *, over: bool
) -> Belt:
    """The output belt of one or two rows, flowing east, `over` the collector by a bridge."""
    cells = [Cell(x, y) for x in range(west, east + OUTPUT_CELLS)]
    if over:
        cells = [cell.at_level(1) if cell.x == east else cell for cell in cells]
    return Belt(_shared_name(places, "output"), tuple(cells), parts.output_speed, "output")


def _shared_name(places: Sequence[RowPlace], what: str) -> str:
    return " ".join((*(place.name for place in places), what))


def _product_dock(places: Sequence[RowPlace], output: Belt) -> Drain:
    at = output.path[-1].step(Heading.EAST)
    return Drain(_shared_name(places, "dock"), at, output.name)


def _draw_leftovers(
    draft: Draft,
    module: Module,
    parts: Parts,
    lanes: Sequence[Belt],
    make_up: RowPlace,
    east: int,
) -> None:
    """The collector down the east side, each lane ending into it, to the make-up row's head."""
    first = lanes[0].path[-1]
    head = make_up.frame.cell(0, lane_depth(parts))
    path = tuple(Cell(east, y) for y in range(first.y, head.y))
    collector = Belt(f"{make_up.name} collector", path, parts.collector_speed, "collector")
    draft.add(collector)
    draft.add(
        Merge(f"{collector.name} start", path[0], (lanes[0].name,), collector.name, "priority")
    )
    for lane in lanes[1:]:
        index = lane.path[-1].y - first.y
        draft.add(SideMerge(f"{lane.name} end", lane.name, collector.name, index))
    lane = draw_make_up_lane(draft, make_up, parts, collector.name)
    draw_inlets(draft, make_up, parts, [lane])
