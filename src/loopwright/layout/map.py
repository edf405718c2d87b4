"""A layout as text: one character a cell, rulers in cells, and a legend of names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from loopwright.grid import Box, Cell, Heading
from loopwright.grid.path import heading_between
from loopwright.layout.layout import Belt, Layout, Station
from loopwright.layout.move import row_corners, row_headings

FLOW = {Heading.EAST: ">", Heading.SOUTH: "v", Heading.WEST: "<", Heading.NORTH: "^"}
"""Belt on the floor, by the heading at which a carrier leaves the cell."""

BRIDGE = {Heading.EAST: "=", Heading.WEST: "=", Heading.SOUTH: '"', Heading.NORTH: '"'}
"""Belt one level up."""

PICKER = {Heading.EAST: ")", Heading.SOUTH: ",", Heading.WEST: "(", Heading.NORTH: "'"}
"""Picker: the mark lies, or bulges, towards the end that puts."""

EMPTY, OBSTACLE, CLASH, NODE, APPLICATOR = ".", "#", "!", "*", "@"

KEY = (
    "key: > v < ^ belt by way of flow, = \" bridge, ' , ( ) picker putting north, south, west, "
    "east,",
    "     G gate, M merge, J joint, S side merge, D divert, O drain, % store, * power node,",
    "     @ applicator, # obstacle, a box with a number: station; a material's letter: dock;",
    "     ! two things in one place",
)

_WIDTH = 100


def way_of(belt: Belt) -> list[Heading]:
    """Heading at each cell of a belt; where a step is broken, as before it; east if unknown."""
    found: list[Heading] = []
    last = Heading.EAST
    for one, other in pairwise(belt.path):
        last = heading_between(one, other) or last
        found.append(last)
    return [*found, last]


def station_digits(station: Station) -> str:
    """The last number in a station's name; without one, its first letters."""
    end = len(station.name)
    while end and not ("0" <= station.name[end - 1] <= "9"):
        end -= 1
    start = end
    while start and "0" <= station.name[start - 1] <= "9":
        start -= 1
    return station.name[start:end] or station.name[:3] or "?"


def _station_signs(station: Station) -> Iterator[tuple[int, int, str]]:
    """(x, y, sign) of an outlined box with its number in the middle line."""
    box = station.box
    right, bottom = box.x + box.width - 1, box.y + box.height - 1
    for cell in box.cells():
        upright = cell.x in (box.x, right)
        lying = cell.y in (box.y, bottom)
        sign = "+" if upright and lying else "|" if upright else "-" if lying else " "
        yield cell.x, cell.y, sign
    text = station_digits(station)[-box.width :]
    start = box.x + (box.width - len(text) + 1) // 2
    for index, sign in enumerate(text):
        yield start + index, box.y + box.height // 2, sign if sign.isprintable() else "?"


class _Canvas:
    """Signs by place. What stands on one level in one place twice becomes a clash."""

    def __init__(self) -> None:
        self.signs: dict[tuple[int, int], str] = {}
        self.top: dict[tuple[int, int], int] = {}
        self.owner: dict[tuple[int, int, int], str] = {}
        self.clashes: dict[tuple[int, int, int], list[str]] = {}

    def claim(self, cell: Cell, name: str, sign: str) -> None:
        """A device stands on this cell."""
        spot = (cell.x, cell.y, cell.level)
        if spot in self.owner:
            self.clashes.setdefault(spot, [self.owner[spot]]).append(name)
        self.owner.setdefault(spot, name)
        self.overlay(cell, sign)

    def overlay(self, cell: Cell, sign: str) -> None:
        """A sign over what stands here, such as a merge on its outlet's first cell."""
        place = (cell.x, cell.y)
        if cell.level >= self.top.get(place, cell.level):
            self.top[place] = cell.level
            self.signs[place] = sign


def _letter(text: str) -> str:
    return text[0] if text and text[0].isprintable() else "?"


def _fill(layout: Layout) -> _Canvas:
    canvas = _Canvas()
    blocked: dict[Cell, str] = {}
    for number, box in enumerate(layout.obstacles, start=1):
        for cell in box.cells():
            blocked.setdefault(cell, f"obstacle {number}")
    for cell, name in blocked.items():
        canvas.claim(cell, name, OBSTACLE)
    ends = _way_outs(layout)
    for belt in layout.belts:
        ways = way_of(belt)
        ways[-1] = ends.get(belt.name, ways[-1])
        for cell, heading in zip(belt.path, ways, strict=False):
            canvas.claim(cell, belt.name, (BRIDGE if cell.level else FLOW)[heading])
    for station in layout.stations:
        for cell in station.box.cells():
            canvas.claim(cell, station.name, "+")
        for x, y, sign in _station_signs(station):
            canvas.overlay(Cell(x, y), sign)
    for store in layout.stores:
        for cell in store.box.cells():
            canvas.claim(cell, store.name, "%")
    for gate in layout.gates:
        for cell in gate.box.cells():
            canvas.claim(cell, gate.name, "G")
    for picker in layout.pickers:
        canvas.claim(picker.at, picker.name, PICKER[picker.facing])
    for applicator in layout.applicators:
        canvas.claim(applicator.at, applicator.name, APPLICATOR)
    for node in layout.power_nodes:
        canvas.claim(node.at, node.name, NODE)
    _overlay_joints(layout, canvas)
    for x, y, _ in canvas.clashes:
        canvas.signs[x, y] = CLASH
    return canvas


def _way_outs(layout: Layout) -> dict[str, Heading]:
    """Heading at which each belt that ends at a merge, side merge or gate leaves its last cell."""
    paths = {belt.name: belt.path for belt in layout.belts if belt.path}
    goals: list[tuple[str, Cell]] = []
    for merge in layout.merges:
        goals += [(inlet, merge.at) for inlet in merge.inlets]
    for side in layout.side_merges:
        main = paths.get(side.main, ())
        goals += [(side.inlet, main[side.index])] if 0 <= side.index < len(main) else []
    for gate in layout.gates:
        for inlet in (*gate.inlets, gate.main):
            if inlet in paths:
                head, box = paths[inlet][-1], gate.box
                x = min(max(head.x, box.x), box.x + box.width - 1)
                y = min(max(head.y, box.y), box.y + box.height - 1)
                goals.append((inlet, Cell(x, y)))
    found: dict[str, Heading] = {}
    for inlet, goal in goals:
        head = paths[inlet][-1] if inlet in paths else goal
        heading = heading_between(head.at_level(0), goal.at_level(0))
        if heading is not None:
            found[inlet] = heading
    return found


def _overlay_joints(layout: Layout, canvas: _Canvas) -> None:
    paths = {belt.name: belt.path for belt in layout.belts}
    letters = {material.name: _letter(material.letter) for material in layout.materials}
    for merge in layout.merges:
        canvas.overlay(merge.at, "M" if len(merge.inlets) > 1 else "J")
    for side in layout.side_merges:
        main = paths.get(side.main, ())
        if 0 <= side.index < len(main):
            canvas.overlay(main[side.index], "S")
    for divert in layout.diverts:
        canvas.overlay(divert.at, "D")
    for source in layout.sources:
        canvas.overlay(source.at, letters.get(source.material, "?"))
    for drain in layout.drains:
        canvas.overlay(drain.at, "O")


def _whole(layout: Layout, canvas: _Canvas) -> Box:
    """The site, and whatever stands outside of it."""
    box = Box(0, 0, max(1, layout.width), max(1, layout.height))
    if not canvas.signs:
        return box
    xs, ys = zip(*canvas.signs, strict=True)
    width, height = max(xs) - min(xs) + 1, max(ys) - min(ys) + 1
    return box.union(Box(min(xs), min(ys), width, height))


def _ruler(box: Box, indent: int) -> list[str]:
    """Tens where they change, then the last digit of each column."""
    tens = [" "] * (box.width + 8)
    for x in range(box.x, box.x + box.width):
        if x % 10 == 0:
            text = str(x)
            tens[x - box.x : x - box.x + len(text)] = text
    digits = "".join(str(abs(x) % 10) for x in range(box.x, box.x + box.width))
    return [" " * indent + "".join(tens).rstrip(), " " * indent + digits]


def _wrapped(title: str, entries: Iterable[str], width: int) -> Iterator[str]:
    """`title: a; b; c`, broken between entries, later lines set in."""
    line = f"{title}: "
    fresh = True
    for entry in entries:
        piece = entry if fresh else f"; {entry}"
        if not fresh and len(line) + len(piece) > width:
            yield line + ";"
            line, piece = "  ", entry
        line += piece
        fresh = False
    if not fresh:
        yield line


def plain_name(name: str) -> str:
    """A name fit for one line of text."""
    return "".join(sign if sign.isprintable() else "?" for sign in name)


def _cell_text(cell: Cell) -> str:
    return f"{cell.x},{cell.y}" + (f",{cell.level}" if cell.level else "")


def _legend(layout: Layout, box: Box) -> Iterator[tuple[str, list[str]]]:
    """(kind, entries) of the devices that have a cell in `box`."""
    paths = {belt.name: belt.path for belt in layout.belts}

    def at(kind: str, placed: Iterable[tuple[str, Cell, str]]) -> tuple[str, list[str]]:
        shown = [(name, cell, more) for name, cell, more in placed if box.holds(cell)]
        return kind, [f"{plain_name(n)} {_cell_text(c)}{plain_name(more)}" for n, c, more in shown]

    def boxed(placed: Iterable[tuple[str, Box]]) -> Iterator[tuple[str, Cell, str]]:
        for name, own in placed:
            if own.overlaps(box):
                x, y = max(own.x, box.x), max(own.y, box.y)
                corner = "" if (x, y) == (own.x, own.y) else f" (from {own.x},{own.y})"
                yield name, Cell(x, y), corner

    corners, flows = row_corners(layout).items(), row_headings(layout)
    told = {row: f" {heading.name.lower()}" for row, heading in flows.items()}
    yield at("rows", ((row, corner, told.get(row, "")) for row, corner in corners))
    yield "materials", [f"{_letter(m.letter)} {plain_name(m.name)}" for m in layout.materials]
    belts = [belt for belt in layout.belts if any(box.holds(cell) for cell in belt.path)]
    yield (
        "belts",
        [
            f"{plain_name(b.name)} ({plain_name(b.role)}) {_cell_text(b.path[0])}"
            f" to {_cell_text(b.path[-1])}"
            for b in belts
        ],
    )
    yield at("docks", ((s.name, s.at, f" {s.material}") for s in layout.sources))
    yield at("drains", ((d.name, d.at, f" {d.purpose}") for d in layout.drains))
    yield at("gates", boxed((g.name, g.box) for g in layout.gates))
    yield at("merges", ((m.name, m.at, f" {m.rule}") for m in layout.merges))
    flanks = ((side, paths.get(side.main, ())) for side in layout.side_merges)
    sides = (
        (side.name, path[side.index], f" into {side.main}")
        for side, path in flanks
        if 0 <= side.index < len(path)
    )
    yield at("side merges", sides)
    yield at("diverts", ((d.name, d.at, f" {d.rule}") for d in layout.diverts))
    yield at("stations", boxed((s.name, s.box) for s in layout.stations))
    yield at("stores", boxed((s.name, s.box) for s in layout.stores))
    yield at("pickers", ((p.name, p.at, "") for p in layout.pickers))
    yield at("applicators", ((a.name, a.at, f" {a.agent}") for a in layout.applicators))
    yield at("power nodes", ((n.name, n.at, f" {n.kind}") for n in layout.power_nodes))


def layout_map(layout: Layout, box: Box | None = None) -> str:
    """The layout as text, north up.

    Parameters
    ----------
    box
        The cells to show; without it the whole site and whatever stands outside of it.
    """
    canvas = _fill(layout)
    shown = box or _whole(layout, canvas)
    rows = range(shown.y, shown.y + shown.height)
    columns = range(shown.x, shown.x + shown.width)
    indent = max((len(str(y)) for y in (rows[0], rows[-1])), default=1) if rows else 1
    lines = [plain_name(layout.title), *_ruler(shown, indent + 1)]
    signs = canvas.signs
    for y in rows:
        row = "".join(signs.get((x, y), EMPTY) for x in columns)
        lines.append(f"{y:>{indent}} {row}".rstrip())
    lines += ["", *KEY]
    width = max(_WIDTH, shown.width)
    for kind, entries in _legend(layout, shown):
        lines += _wrapped(kind, entries, width)
    clashes = (
        f"{_cell_text(Cell(*spot))}: {' and '.join(map(plain_name, names))}"
        for spot, names in sorted(canvas.clashes.items())
        if shown.holds(Cell(*spot))
    )
    lines += _wrapped("two things in one place", clashes, width)
    return "\n".join(lines) + "\n"
