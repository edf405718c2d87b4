"""What surrounds the devices on a sheet: site, grid, rulers and names of rows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from loopwright.drawing.mark import CELL, Area, Line, Mark, Point, Text, rectangle
from loopwright.grid import Box, Cell
from loopwright.layout.footprint import built_box
from loopwright.layout.layout import Layout, Station

_ROOM = 4
_MOST = 0.6
_LONG = 30
"""Characters of names of rows that come side by side on one axis."""

Place = tuple[float, float, float, float]
"""Left, top, right and bottom on the sheet."""


def shown_box(layout: Layout, occupied: set[Cell]) -> Box:
    """The part of the site that is drawn: all of it, unless most of it is empty."""
    site = Box(0, 0, max(1, layout.width), max(1, layout.height))
    if not occupied:
        return site
    built = built_box(occupied)
    x, y = max(0, built.x - _ROOM), max(0, built.y - _ROOM)
    right = min(site.width, built.x + built.width + _ROOM)
    bottom = min(site.height, built.y + built.height + _ROOM)
    if right > x and bottom > y:
        part = Box(x, y, right - x, bottom - y).union(built)
        if part.width * part.height < _MOST * site.width * site.height:
            return part
    return site.union(built)


def common_part(one: Box, other: Box) -> Box:
    """The cells in both boxes; they must overlap."""
    x, y = max(one.x, other.x), max(one.y, other.y)
    right = min(one.x + one.width, other.x + other.width)
    bottom = min(one.y + one.height, other.y + other.height)
    return Box(x, y, right - x, bottom - y)


def place_of(box: Box) -> Place:
    """Where a box of cells lies on the sheet."""
    left, top = box.x * CELL, box.y * CELL
    return left, top, left + box.width * CELL, top + box.height * CELL


def row_boxes(layout: Layout) -> dict[str, Box]:
    """The box of each named row."""
    boxes: dict[str, Box] = {}
    for station in layout.stations:
        if station.row:
            boxes[station.row] = boxes.get(station.row, station.box).union(station.box)
    return boxes


def _is_lying(box: Box, first: Station) -> bool:
    """Whether a row runs from west to east, also when it has one station only."""
    return box.width - first.box.width >= box.height - first.box.height


def _labels(layout: Layout) -> tuple[list[tuple[float, str]], list[tuple[float, str]]]:
    """Place of each axis [cells] and the names of the rows on it, of lying and of upright rows;
    names that are too long side by side come one by one."""
    firsts = {station.row: station for station in reversed(layout.stations)}
    lying: dict[float, list[tuple[int, str]]] = defaultdict(list)
    upright: dict[float, list[tuple[int, str]]] = defaultdict(list)
    for row, box in row_boxes(layout).items():
        if _is_lying(box, firsts[row]):
            lying[box.y + box.height / 2].append((box.x, row))
        else:
            upright[box.x + box.width / 2].append((box.y, row))
    return _joined(lying), _joined(upright)


def _joined(axes: dict[float, list[tuple[int, str]]]) -> list[tuple[float, str]]:
    found: list[tuple[float, str]] = []
    for at, rows in sorted(axes.items()):
        names = [row for _, row in sorted(rows)]
        text = " · ".join(names)
        found += [(at, text)] if len(text) <= _LONG else [(at, name) for name in names]
    return found


def spread(places: Sequence[float], apart: float) -> list[float]:
    """`places`, in rising order, moved as little as can be so that neighbours are `apart`."""
    groups: list[tuple[float, int]] = []
    for index, place in enumerate(places):
        total, count = place - index * apart, 1
        while groups and groups[-1][0] / groups[-1][1] > total / count:
            before = groups.pop()
            total, count = total + before[0], count + before[1]
        groups.append((total, count))
    moved = [total / count for total, count in groups for _ in range(count)]
    return [place + index * apart for index, place in enumerate(moved)]


def row_labels(layout: Layout, shown: Box, u: float, gap: float) -> Iterator[Mark]:
    """Names of rows in the margins, with an axis through each row."""
    left, top, right, bottom = place_of(shown)
    near, far = gap, gap + 0.5 * u
    lying, upright = _labels(layout)
    for y in sorted({place * CELL for place, _ in lying}):
        yield Line(((left - near, y), (right + near, y)), "axis", "axes")
    for y, name in _apart(lying, 1.3 * u):
        for x, anchor in ((left - far, "end"), (right + far, "start")):
            yield Text((x, y), name, 1.15 * u, "strong", "rows", anchor=anchor)
    for x in sorted({place * CELL for place, _ in upright}):
        yield Line(((x, top - near), (x, bottom + near)), "axis", "axes")
    for x, name in _apart(upright, 1.3 * u):
        for y, anchor in ((top - far, "start"), (bottom + far, "end")):
            yield Text((x, y), name, 1.15 * u, "strong", "rows", anchor=anchor, angle=270)


def _apart(labels: Sequence[tuple[float, str]], apart: float) -> list[tuple[float, str]]:
    """Names with their places on the sheet, moved apart; where one would come away from its axis by
    more than a line, as many as have room stay, each on its axis. Stations tell their row too."""
    wanted = [place * CELL for place, _ in labels]
    moved = spread(wanted, apart)
    if all(abs(one - other) <= apart for one, other in zip(wanted, moved, strict=True)):
        return [(place, name) for place, (_, name) in zip(moved, labels, strict=True)]
    kept: list[tuple[float, str]] = []
    for place, (_, name) in zip(wanted, labels, strict=True):
        if not kept or place - kept[-1][0] >= apart:
            kept.append((place, name))
    return kept


def margins(layout: Layout, u: float) -> tuple[float, float]:
    """Width of the side margins and height of the top and bottom ones, for the names of rows."""
    side, end = (
        max((len(name) + 3 for _, name in labels), default=1) for labels in _labels(layout)
    )
    return 0.78 * u * side, 0.78 * u * end


def _ticks(start: int, count: int, step: int) -> range:
    return range(-(-start // step) * step, start + count + 1, step)


def ruler_marks(layout: Layout, shown: Box, u: float, gap: float) -> Iterator[Mark]:
    """The site, grid lines each 10 cells, and their numbers in the margins."""
    left, top, right, bottom = place_of(shown)
    step = next(step for step in (10, 20, 50, 100, 200, 500, 10**6) if step * CELL >= 2.4 * u)
    for x in _ticks(shown.x, shown.width, 10):
        yield Line(((x * CELL, top), (x * CELL, bottom)), "grid", "grid")
    for y in _ticks(shown.y, shown.height, 10):
        yield Line(((left, y * CELL), (right, y * CELL)), "grid", "grid")
    site = Box(0, 0, layout.width, layout.height)
    if site.overlaps(shown):
        yield from _site_edges(place_of(site), place_of(common_part(site, shown)))
    tick = 0.35 * u
    for x in _ticks(shown.x, shown.width, step):
        for edge, way in ((top, -1), (bottom, 1)):
            yield Line(((x * CELL, edge), (x * CELL, edge + way * tick)), "soft-line", "ruler")
            at: Point = (x * CELL, edge + way * (gap - 0.5 * u))
            yield Text(at, str(x), 0.75 * u, "small", "ruler", "numbers")
    for y in _ticks(shown.y, shown.height, step):
        for edge, way, anchor in ((left, -1, "start"), (right, 1, "end")):
            yield Line(((edge, y * CELL), (edge + way * tick, y * CELL)), "soft-line", "ruler")
            at = (edge + way * (gap - 0.2 * u), y * CELL)
            yield Text(at, str(y), 0.75 * u, "small", "ruler", "numbers", anchor=anchor)


def _site_edges(site: Place, part: Place) -> Iterator[Mark]:
    """The outline of the drawn part: firm along the edge of the site, dashed elsewhere."""
    left, top, right, bottom = part
    edges = (
        (left == site[0], (left, top), (left, bottom)),
        (right == site[2], (right, top), (right, bottom)),
        (top == site[1], (left, top), (right, top)),
        (bottom == site[3], (left, bottom), (right, bottom)),
    )
    for firm, one, other in edges:
        yield Line((one, other), "site" if firm else "cut", "site")


def key_plan(layout: Layout, shown: Box, at: Point, room: tuple[float, float]) -> Iterator[Mark]:
    """The whole site in small, with the part that is drawn."""
    site = Box(0, 0, layout.width, layout.height).union(shown)
    scale = min(room[0] / site.width, room[1] / site.height)
    x, y = at[0] - site.x * scale, at[1] - site.y * scale
    whole = rectangle(at[0], at[1], site.width * scale, site.height * scale)
    yield Area(whole, "key", "key plan")
    part = rectangle(
        x + shown.x * scale, y + shown.y * scale, shown.width * scale, shown.height * scale
    )
    yield Area(part, "obstacle", "key plan", tooltip="the part of the site that is drawn")
