"""Everything that stands beside the belts, as marks."""

from __future__ import annotations

import re
from collections.abc import Iterator

from loopwright.drawing.belts import ANGLES, between, centre, nearest_of, travel
from loopwright.drawing.frame import common_part
from loopwright.drawing.mark import CELL, Area, Line, Mark, Point, Symbol, Text, rectangle
from loopwright.grid import Box, Cell
from loopwright.grid.path import heading_between
from loopwright.layout.layout import Gate, Layout, Picker, Port, Station


def station_number(station: Station) -> str:
    """The number of a station as drawn: the last digits of its name, or else its whole name."""
    digits: list[str] = re.findall(r"[0-9]+", station.name)
    return digits[-1] if digits else station.name[:4]


def box_outline(box: Box, inset: float = 0) -> tuple[Point, ...]:
    """A box of cells on the sheet, drawn in by `inset` all round."""
    x, y = box.x * CELL + inset, box.y * CELL + inset
    return rectangle(x, y, box.width * CELL - 2 * inset, box.height * CELL - 2 * inset)


def box_centre(box: Box) -> Point:
    """The middle of a box on the sheet."""
    return ((box.x + box.width / 2) * CELL, (box.y + box.height / 2) * CELL)


def station_marks(layout: Layout) -> Iterator[Mark]:
    """Outlined boxes with number, and below it, small, the row."""
    for station in layout.stations:
        group = station.row or "no row"
        tooltip = f"{station.name}: {station.recipe}"
        outline = box_outline(station.box, 0.8)
        yield Area(outline, "station", "stations", group, tooltip)
        x, y = box_centre(station.box)
        side = min(station.box.width, station.box.height) * CELL
        number = station_number(station)
        size = min(0.42 * side, 1.3 * station.box.width * CELL / max(2, len(number)))
        yield Text((x, y - 0.09 * side), number, round(size, 1), "words", "stations", group)
        if station.row:
            small = min(0.13 * side, 1.4 * station.box.width * CELL / len(station.row))
            place = (x, y + 0.24 * side)
            yield Text(place, station.row, round(small, 1), "small", "stations", group)


def store_marks(layout: Layout) -> Iterator[Mark]:
    """Double outlined boxes with what they hold."""
    for store in layout.stores:
        tooltip = f"{store.name}: store for {store.cap} units"
        yield Area(box_outline(store.box, 0.8), "store", "stores", tooltip=tooltip)
        yield Area(box_outline(store.box, 2.2), "thin", "stores")
        side = min(store.box.width, store.box.height) * CELL
        yield Text(box_centre(store.box), str(store.cap), round(side * 0.3, 1), "words", "stores")


def applicator_marks(layout: Layout) -> Iterator[Mark]:
    """Small boxes with a bar to the cell that they stand over."""
    cells = {belt.name: belt.path for belt in layout.belts}
    for one in layout.applicators:
        what = ", ".join(one.materials) or "everything"
        tooltip = f"{one.name}: applicator of {one.agent} to {what} on {one.belt}"
        at = centre(one.at)
        over = _port_point(Port(one.belt, one.index), cells, {}, at)
        if over is not None:
            yield Line((at, over), "picker", "applicators")
        yield Area(box_outline(Box(one.at.x, one.at.y, 1, 1), 2.2), "store", "applicators",
                   tooltip=tooltip)  # fmt: skip


def _port_point(port: Port, cells: dict[str, tuple[Cell, ...]], boxes: dict[str, Box],
                at: Point) -> Point | None:  # fmt: skip
    if port.device in boxes:
        near = nearest_of(boxes[port.device], at)
        far = box_centre(boxes[port.device])
        inward = (near[0] - at[0], near[1] - at[1])
        reach = abs(inward[0]) + abs(inward[1])
        if not reach:
            return between(at, far, 0.5)
        return (near[0] + 2 * inward[0] / reach, near[1] + 2 * inward[1] / reach)
    path = cells.get(port.device, ())
    if port.index is not None and 0 <= port.index < len(path):
        return centre(path[port.index])
    return None


def picker_tooltip(picker: Picker) -> str:
    """What a reader wants to know of a picker."""
    way = f"{picker.source.device} to {picker.target.device}"
    takes = "" if picker.takes == "units" else f", takes {picker.takes}"
    return f"{picker.name}: {way}, {picker.swing} s, hand {picker.hand}, {picker.habit}{takes}"


def picker_marks(layout: Layout) -> Iterator[Mark]:
    """Thin bars from where they take to where they put, with a dot at the putting end."""
    cells = {belt.name: belt.path for belt in layout.belts}
    boxes = {station.name: station.box for station in layout.stations}
    boxes.update({store.name: store.box for store in layout.stores})
    boxes.update({one.name: Box(one.at.x, one.at.y, 1, 1) for one in layout.applicators})
    for picker in layout.pickers:
        at = centre(picker.at)
        dx, dy = picker.facing.vector
        start = _port_point(picker.source, cells, boxes, at) or (at[0] - dx * 8, at[1] - dy * 8)
        end = _port_point(picker.target, cells, boxes, at) or (at[0] + dx * 8, at[1] + dy * 8)
        if picker.target.device in cells and end != at:
            # Two rows may put onto one cell from either side: each dot keeps to its own side.
            end = between(end, at, 2.6 / (abs(end[0] - at[0]) + abs(end[1] - at[1])))
        straight = (start[0] == at[0] == end[0]) or (start[1] == at[1] == end[1])
        points = (start, end) if straight else (start, at, end)
        tooltip = picker_tooltip(picker)
        yield Line(points, "picker", "pickers", tooltip=tooltip, end="dot")


def _notched(box: Box, notches: list[Point]) -> tuple[Point, ...]:
    """The outline of a gate with a notch where each fresh inlet arrives."""
    corners = box_outline(box, 0.7)
    deep = wide = 2.2 if max(box.width, box.height) > 1 else 1.6
    points: list[Point] = []
    for index, one in enumerate(corners):
        other = corners[(index + 1) % 4]
        points.append(one)
        span = abs(other[0] - one[0]) + abs(other[1] - one[1])
        ux, uy = (other[0] - one[0]) / span, (other[1] - one[1]) / span
        found = []
        for notch in notches:
            along = (notch[0] - one[0]) * ux + (notch[1] - one[1]) * uy
            off = abs((notch[0] - one[0]) * uy) + abs((notch[1] - one[1]) * ux)
            if off < 1 and wide < along < span - wide:
                found.append(along)
        for along in sorted(found):
            for step, depth in ((-wide, 0.0), (0.0, deep), (wide, 0.0)):
                x = one[0] + ux * (along + step) - uy * depth
                y = one[1] + uy * (along + step) + ux * depth
                points.append((x, y))
    return tuple(points)


def gate_tooltip(gate: Gate) -> str:
    """What a reader wants to know of a gate."""
    main = f", {gate.told_main}" if gate.main else ""
    return f"{gate.name}: gate, {gate.rule}{main}, from {', '.join(gate.inlets)} to {gate.outlet}"


def gate_marks(layout: Layout) -> Iterator[Mark]:
    """Notched bars with a G."""
    heads = {belt.name: belt.path[-1] for belt in layout.belts if belt.path}
    for gate in layout.gates:
        fresh = [name for name in gate.inlets if name in heads and name != gate.main]
        notches = [nearest_of(gate.box, centre(heads[name])) for name in fresh]
        yield Area(_notched(gate.box, notches), "gate", "gates", tooltip=gate_tooltip(gate))
        wide, high = gate.box.width, gate.box.height
        size = 9 if min(wide, high) > 1 else 6.4 if max(wide, high) > 1 else 5.5
        (x, y), count = box_centre(gate.box), max(1, len(notches))
        off_x = sum(x - notch[0] for notch in notches if notch[1] == y) / count
        off_y = sum(y - notch[1] for notch in notches if notch[0] == x) / count
        at = (x + 0.4 * off_x, y + 0.4 * off_y)
        yield Text((round(at[0], 1), round(at[1], 1)), "G", size, "strong", "gates")


def _angle(one: Cell, other: Cell) -> int | None:
    heading = heading_between(one.at_level(0), other.at_level(0))
    return None if heading is None else ANGLES[heading]


def junction_marks(layout: Layout) -> Iterator[Mark]:
    """Merges as triangles, side merges as small ones at the flank, diverts as diamonds."""
    belts = {belt.name: belt for belt in layout.belts if belt.path}
    ways = {name: ANGLES[travel(belt)[0]] for name, belt in belts.items()}
    for merge in layout.merges:
        angle = ways.get(merge.outlet, 0)
        joint = len(merge.inlets) == 1
        size = 3.4 if joint else 9
        kind = "joint" if joint else f"merge, {merge.rule}"
        tooltip = f"{merge.name}: {kind}, {', '.join(merge.inlets)} into {merge.outlet}"
        shape, ink = ("joint", "joint") if joint else ("merge", "junction")
        at = centre(merge.at)
        yield Symbol(at, shape, size, ink, "merges", tooltip=tooltip, angle=angle)
        if not joint:
            yield from _caption(at, merge.name, "merges")
    for side in layout.side_merges:
        if side.main not in belts or side.inlet not in belts:
            continue
        main = belts[side.main].path
        head = belts[side.inlet].path[-1]
        cell = main[side.index] if 0 <= side.index < len(main) else head
        at = between(centre(cell), centre(head), 0.5)
        tooltip = f"{side.name}: side merge, {side.inlet} into the flank of {side.main}"
        angle = _angle(head, cell) or 0
        symbol = "side merge"
        yield Symbol(at, symbol, 7, "junction", "side merges", tooltip=tooltip, angle=angle)
        yield from _caption(at, side.name, "side merges")
    said: dict[float, tuple[float, int]] = {}
    for divert in sorted(layout.diverts, key=lambda one: one.at.x):
        at = centre(divert.at)
        rule = f"{divert.rule}, {divert.inlet} to {', '.join(divert.outlets)}"
        tooltip = f"{divert.name}: divert, {rule}"
        yield Symbol(at, "divert", 10, "junction", "diverts", tooltip=tooltip)
        end, line = said.get(at[1], (at[0], 0))
        line = line + 1 if at[0] < end else 0
        said[at[1]] = at[0] + LETTER * len(divert.name), line
        yield from _caption((at[0], at[1] + 3 * line), divert.name, "diverts", below=True)


LETTER = 1.7
"""Width of a letter of a caption [sheet units], roughly."""


def _caption(at: Point, name: str, layer: str, *, below: bool = False) -> Iterator[Mark]:
    """The name of a junction; below it where it may stand beside one with its name above."""
    place = (at[0] + 3, at[1] + (5.4 if below else -4.6))
    yield Text(place, name, 2.6, "letter", layer, "names", anchor="start")


def obstacle_marks(layout: Layout, shown: Box | None) -> Iterator[Mark]:
    """Hatched ground that cannot be built on."""
    for number, box in enumerate(layout.obstacles, start=1):
        if shown is None or box.overlaps(shown):
            part = common_part(box, shown) if shown else box
            tooltip = f"obstacle {number} at {box.x},{box.y}: {box.width} x {box.height} cells"
            yield Area(box_outline(part), "obstacle", "obstacles", tooltip=tooltip)
