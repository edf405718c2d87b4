"""A row in detail: its head and its end at a large scale, with strings of dimensions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from loopwright.drawing.clip import clipped, moved
from loopwright.drawing.dimension import dimension_marks
from loopwright.drawing.frame import place_of
from loopwright.drawing.legend import cut
from loopwright.drawing.mark import CELL, Line, Mark, Text
from loopwright.grid import Box
from loopwright.layout.footprint import footprints
from loopwright.layout.layout import Layout

STATIONS = 2
"""Stations of a row in each of its two views."""

BEYOND = 8
"""Cells before the first and after the last cell of a row's lane that are shown too."""


def detail_views(layout: Layout) -> list[Box]:
    """The cells of the two views: round the first stations of the first row and its mate, and
    round the last ones. One view where the row is short, none without rows that lie."""
    rows = _first_rows(layout)
    stations = sorted((s.box for s in layout.stations if s.row in rows), key=lambda box: box.x)
    if not stations:
        return []
    named = {station.name for station in layout.stations if station.row in rows}
    fed: set[str] = set()
    for picker in layout.pickers:
        if {picker.source.device, picker.target.device} & named:
            fed |= {picker.source.device, picker.target.device} - named
    returns = {belt.name for belt in layout.belts if belt.role == "return"}
    ways = [(inlet, merge.outlet) for merge in layout.merges for inlet in merge.inlets]
    ways += [(divert.inlet, outlet) for divert in layout.diverts for outlet in divert.outlets]
    ahead = fed
    while ahead:
        ahead = {outlet for inlet, outlet in ways if inlet in ahead} & returns - fed
        fed |= ahead
    cells = [cell for belt in layout.belts if belt.name in fed for cell in belt.path]
    top = min([stations[0].y, *(cell.y for cell in cells)]) - 2
    bottom = max([stations[-1].y + stations[-1].height, *(cell.y + 1 for cell in cells)]) + 2
    left = min([stations[0].x, *(cell.x for cell in cells)])
    right = max([stations[-1].x + stations[-1].width, *(cell.x + 1 for cell in cells)])
    if bottom - top > right - left:
        return []
    first, width = stations[0].x, stations[0].width
    last = stations[-1].x + stations[-1].width
    west, east = max(0, left - BEYOND), min(layout.width, right + 3)
    head_end, tail_start = first + STATIONS * width, last - STATIONS * width
    top, bottom = max(0, top), min(layout.height, bottom)
    if head_end + 1 >= tail_start - 1:
        return [Box(west, top, east - west, bottom - top)]
    return [
        Box(west, top, head_end + 1 - west, bottom - top),
        Box(tail_start - 1, top, east - tail_start + 1, bottom - top),
    ]


def _first_rows(layout: Layout) -> set[str]:
    """The first row, and the rows that put on the same belts."""
    if not layout.stations or not layout.stations[0].row:
        return set()
    row_of = {station.name: station.row for station in layout.stations}
    first = layout.stations[0].row
    belts = {p.target.device for p in layout.pickers if row_of.get(p.source.device) == first}
    mates = {
        row_of[p.source.device]
        for p in layout.pickers
        if p.target.device in belts and p.source.device in row_of
    }
    return mates | {first}


def detail_marks(
    layout: Layout, marks: Sequence[Mark], views: Sequence[Box], u: float, step: float
) -> Iterator[Mark]:
    """The views side by side from the origin, `step` apart, with their dimensions."""
    x = 0.0
    for letter, view in zip("AB", views, strict=False):
        left, top, right, bottom = place_of(view)
        dx, dy = x - left, -top
        inside = clipped(marks, (left, top, right, bottom))
        yield from moved(inside, dx, dy)
        corners = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
        yield from moved([Line(corners, "cut", "views")], dx, dy)
        yield from moved(_strings(layout, view, u, first=letter == "A"), dx, dy)
        words = f"{letter}: x {view.x} to {view.x + view.width}, y {view.y} to "
        at = ((left + right) / 2, bottom + 3.4 * u)
        text = Text(at, f"{words}{view.y + view.height}", u, "strong", "views")
        yield from moved([text], dx, dy)
        x += (right - left) + step


def _strings(layout: Layout, view: Box, u: float, *, first: bool) -> Iterator[Mark]:
    """Along the bottom the edges of stations and gates, on the left what lies across the row."""
    left, _, right, bottom = place_of(view)
    boxes = [s.box for s in layout.stations if s.box.overlaps(view)]
    boxes += [gate.box for gate in layout.gates if gate.box.overlaps(view)]
    across = {view.x, view.x + view.width}
    across |= {edge for box in boxes for edge in (box.x, box.x + box.width)}
    inside = sorted(x for x in across if view.x <= x <= view.x + view.width)
    size = layout.cell_size
    at = bottom + 1.6 * u
    yield from dimension_marks(inside, at, bottom, u, size, upright=False)
    whole = [box for box in boxes if view.x <= box.x and box.x + box.width <= view.x + view.width]
    stations = [box for box in whole if box in {station.box for station in layout.stations}]
    if stations:
        owners = _owners(layout, view, stations[0].x + stations[0].width // 2)
        down = [y for y in owners if owners[y] != owners.get(y - 1)] + [view.y + view.height]
        yield from dimension_marks(down, left - 1.8 * u, left, u, size, upright=True)
        if first:
            ends = [down[0], down[-1]]
            yield from dimension_marks(ends, left - 4.6 * u, left - 3.6 * u, u, size, upright=True)
        for one, other in pairwise(down):
            if owners[one]:
                spot = (right + 0.5 * u, (one + other) / 2 * CELL)
                yield Text(spot, cut(owners[one], 22), 0.75 * u, "small", "views", anchor="start")


def _owners(layout: Layout, view: Box, column: int) -> dict[int, str]:
    """What stands on each cell of a column of the view, from north to south."""
    owners = dict.fromkeys(range(view.y, view.y + view.height), "")
    for name, cell in footprints(layout):
        if cell.x == column and cell.y in owners:
            owners[cell.y] = owners[cell.y] or name
    return owners
