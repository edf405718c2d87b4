"""A set of sheets at scale: the whole block, its parts one by one, and a row in detail."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from loopwright.drawing.clip import Window, clipped, moved
from loopwright.drawing.detail import detail_marks, detail_views
from loopwright.drawing.dimension import dimension_marks, metres_text
from loopwright.drawing.docks import dock_letters, docks
from loopwright.drawing.frame import (
    margins,
    place_of,
    row_labels,
    ruler_marks,
    shown_box,
)
from loopwright.drawing.legend import block_width, legend_height, legend_marks
from loopwright.drawing.mark import CELL, Area, Line, Mark, Text, rectangle
from loopwright.drawing.paper import (
    BINDING,
    EDGE,
    Paper,
    fitting_scale,
    legible_scale,
    unit_length,
)
from loopwright.drawing.sheet import Sheet, layout_marks
from loopwright.drawing.tiles import cut_points, tile_boxes
from loopwright.grid import Box
from loopwright.layout.carried import carried_materials
from loopwright.layout.footprint import occupied_cells
from loopwright.layout.layout import Layout

LEGIBLE = 3.0
"""Side of a cell at which everything in a drawing can be read on paper [mm]."""


DOCK = 4 * CELL
"""How far docks at the edge of the site are drawn beyond it [sheet units]."""


@dataclass(frozen=True, slots=True)
class _Field:
    """A page at its scale: `k` [mm] is the length of a sheet unit, `u` [units] that of text."""

    paper: Paper
    scale: int
    k: float
    u: float

    @property
    def gap(self) -> float:
        """Between the drawn cells and the names of rows [units]."""
        return 3.1 * self.u


def draw_sheets(
    layout: Layout, paper: Paper, *, theme: str = "light", title_lines: Sequence[str] = ()
) -> tuple[Sheet, ...]:
    """All sheets of a layout: first the whole block, then its parts where the first is too small
    to read, last the ends of a row in detail, with dimensions."""
    occupied = occupied_cells(layout)
    shown = shown_box(layout, occupied)
    marks = layout_marks(layout, shown)
    found = docks(layout, carried_materials(layout), occupied)
    whole = _field(layout, paper, shown, strings=2)
    parts: list[Box] = []
    fine = _at_scale(layout, paper, legible_scale(layout.cell_size, LEGIBLE))
    if whole.k * CELL < LEGIBLE:
        room = _room(layout, fine, strings=0)
        side = fine.k * CELL
        most = (int(room[0] / side), int(room[1] / side))
        tiles = tile_boxes(shown, cut_points(layout, shown, most))
        parts = [tile for tile in tiles if any(tile.holds(cell) for cell in occupied)]
    views = detail_views(layout)
    count = 1 + len(parts) + bool(views)
    lines = (*title_lines, _unit_line(layout), _index_line(len(parts), count))
    pages = [
        _Page(layout, whole, shown, 1, count, theme, lines).sheet(
            [*marks, *dock_letters(found, whole.u)],
            [*_overall(layout, shown, whole), *_part_frames(parts, whole)],
        )
    ]
    for number, part in enumerate(parts, start=2):
        lines = (f"part {number - 1} of {len(parts)}: {_cells_line(part)}", *title_lines)
        page = _Page(layout, fine, part, number, count, theme, lines)
        edges = _neighbours(part, parts, fine)
        pages.append(page.sheet([*marks, *dock_letters(found, fine.u)], edges))
    if views:
        pages.append(_detail(layout, paper, marks, views, (count, theme, title_lines)))
    return tuple(pages)


def _unit_line(layout: Layout) -> str:
    return f"1 cell = {metres_text(1, layout.cell_size)} m, dimensions in m"


def _index_line(parts: int, count: int) -> str:
    """Which sheet is what."""
    words = ["1 whole"]
    if parts:
        words.append(f"2 to {parts + 1} parts" if parts > 1 else "2 part")
    if count > parts + 1:
        words.append(f"{count} a row in detail")
    return f"sheets: {', '.join(words)}" if len(words) > 1 else ""


def _cells_line(box: Box) -> str:
    return f"x {box.x} to {box.x + box.width}, y {box.y} to {box.y + box.height}"


def _at_scale(layout: Layout, paper: Paper, scale: int) -> _Field:
    k = unit_length(layout.cell_size, scale)
    text = min(paper.text, paper.inner[0] / (block_width(layout, 1) + 2))
    return _Field(paper, scale, k, text / k)


def _room(layout: Layout, field: _Field, strings: int) -> tuple[float, float]:
    """What is left for cells at that scale [mm], with `strings` of dimensions on two sides."""
    side, end = margins(layout, field.u)
    width, height = field.paper.inner
    rim = field.gap + 2 * strings * field.u
    foot = legend_height(field.u) + 1.2 * field.u
    across = width - field.k * 2 * (side + rim + 0.5 * field.u)
    return across, height - field.k * (foot + 2 * (end + rim + 0.3 * field.u))


def _field(layout: Layout, paper: Paper, shown: Box, strings: int) -> _Field:
    """The page at the largest scale at which `shown` goes on it."""
    first = _at_scale(layout, paper, 1)
    room = _room(layout, first, strings)
    scale = fitting_scale(layout.cell_size, (shown.width, shown.height), room)
    return _at_scale(layout, paper, scale)


@dataclass(frozen=True, slots=True)
class _Page:
    """One sheet of the set that shows the cells of `window`."""

    layout: Layout
    field: _Field
    window: Box
    number: int
    count: int
    theme: str
    lines: Sequence[str]

    def sheet(self, marks: Iterable[Mark], over: Iterable[Mark], *, plain: bool = False) -> Sheet:
        """The sheet with what of `marks` lies in the window, and `over` on top.

        A plain sheet has neither rulers nor names of rows: it is arranged in units of its own.
        """
        field, paper = self.field, self.field.paper
        k, u = field.k, field.u
        west, north, east, south = place_of(self.window)
        inner = (paper.inner[0] / k, paper.inner[1] / k)
        foot_height = legend_height(u) + 0.8 * u
        left = (west + east - inner[0]) / 2
        top = (north + south - inner[1] + foot_height) / 2
        foot_top = top + inner[1] - foot_height
        foot = (left + u, foot_top, inner[0] - 2 * u)
        whole = Box(0, 0, self.layout.width, self.layout.height) if plain else self.window
        legend, _ = legend_marks(self.layout, whole, foot, u, self._title())
        inside = self._part()
        surroundings: list[Mark] = []
        if not plain:
            surroundings += ruler_marks(self.layout, self.window, u, field.gap)
            surroundings += row_labels(inside, self.window, u, field.gap)
        page = (left - BINDING / k, top - EDGE / k)
        drawn = list(marks) if plain else list(clipped(marks, self._seen()))
        all_marks: tuple[Mark, ...] = (
            Area(rectangle(*page, paper.width / k, paper.height / k), "paper", "paper"),
            Area(rectangle(left, top, *inner), "frame", "frame"),
            *surroundings,
            *drawn,
            *over,
            *legend,
            self._note(left + inner[0] - 1.6 * u, top + inner[1] - 1.72 * u),
        )
        size = (paper.width, paper.height)
        across, down = paper.width / k, paper.height / k
        title = f"{self.layout.title}, sheet {self.number} of {self.count}"
        return Sheet(title, *page, across, down, size, "mm", self.theme, all_marks)

    def _seen(self) -> Window:
        """The window and a hair more, for outlines along its edge; beyond the edge of the site
        also the docks that stand there."""
        left, top, right, bottom = place_of(self.window)
        site = place_of(Box(0, 0, self.layout.width, self.layout.height))
        rim = [DOCK if one == other else 0.1
               for one, other in zip((left, top, right, bottom), site, strict=True)]  # fmt: skip
        return left - rim[0], top - rim[1], right + rim[2], bottom + rim[3]

    def _title(self) -> tuple[str, ...]:
        return (f"sheet {self.number} of {self.count}", *self.lines)

    def _note(self, right: float, y: float) -> Text:
        text = f"1:{self.field.scale} on {self.field.paper.name}"
        return Text((right, y), text, 0.8 * self.field.u, "strong", "title block", anchor="end")

    def _part(self) -> Layout:
        """The layout with only those stations whose middle line is in the window."""
        stations = tuple(s for s in self.layout.stations if _middle_in(s.box, self.window))
        return replace(self.layout, stations=stations)


def _middle_in(box: Box, window: Box) -> bool:
    inside = window.y <= box.y + box.height / 2 <= window.y + window.height
    return inside and box.overlaps(window)


def _overall(layout: Layout, shown: Box, field: _Field) -> Iterator[Mark]:
    """Dimensions of the whole: along the top the built length, down the left each row."""
    west, north, _, _ = place_of(shown)
    u = field.u
    boxes = [station.box for station in layout.stations]
    if not boxes:
        return
    xs = sorted({edge for box in boxes for edge in (box.x, box.x + box.width)})
    across = sorted({shown.x, xs[0], xs[-1], shown.x + shown.width})
    ys = sorted({edge for box in boxes for edge in (box.y, box.y + box.height)})
    down = sorted({shown.y, *ys, shown.y + shown.height})
    side, end = margins(layout, u)
    top = north - field.gap - end - 1.6 * u
    left = west - field.gap - side - 1.2 * u
    size = layout.cell_size
    yield from dimension_marks(across, top, top + u, u, size, upright=False)
    ends = [across[0], across[-1]]
    yield from dimension_marks(ends, top - 1.9 * u, top - 0.9 * u, u, size, upright=False)
    yield from dimension_marks(down, left, left + u, u, size, upright=True)
    ends = [down[0], down[-1]]
    yield from dimension_marks(ends, left - 1.9 * u, left - 0.9 * u, u, size, upright=True)


def _part_frames(parts: Sequence[Box], field: _Field) -> Iterator[Mark]:
    """On the first sheet: which part is on which sheet."""
    for number, part in enumerate(parts, start=2):
        left, top, right, bottom = place_of(part)
        corners = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
        yield Line(corners, "part", "sheet index")
        size = 1.5 * field.u
        text = f"{number}"
        wide = (0.62 * len(text) + 0.5) * size
        plate = rectangle(right - wide, bottom - 1.3 * size, wide, 1.3 * size)
        yield Area(plate, "key", "sheet index")
        at = (right - wide / 2, bottom - 0.65 * size)
        yield Text(at, text, size, "strong", "sheet index")


def _neighbours(part: Box, parts: Sequence[Box], field: _Field) -> Iterator[Mark]:
    """Where the drawing goes on, at the edges that cut it."""
    left, top, right, bottom = place_of(part)
    u = field.u
    for number, other in enumerate(parts, start=2):
        same_rows = other.y == part.y and other.height == part.height
        same_columns = other.x == part.x and other.width == part.width
        words = f"goes on: sheet {number}"
        if same_rows and other.x == part.x + part.width:
            yield _way_on((right + 0.7 * u, (top + bottom) / 2), words, u, 270)
        elif same_rows and part.x == other.x + other.width:
            yield _way_on((left - 0.7 * u, (top + bottom) / 2), words, u, 270)
        elif same_columns and other.y == part.y + part.height:
            yield _way_on(((left + right) / 2, bottom + 0.7 * u), words, u, 0)
        elif same_columns and part.y == other.y + other.height:
            yield _way_on(((left + right) / 2, top - 0.7 * u), words, u, 0)


def _way_on(at: tuple[float, float], words: str, u: float, angle: int) -> Text:
    return Text(at, words, 0.75 * u, "small", "sheet index", angle=angle)


def _detail(
    layout: Layout,
    paper: Paper,
    marks: Sequence[Mark],
    views: Sequence[Box],
    more: tuple[int, str, Sequence[str]],
) -> Sheet:
    """The last sheet: both ends of a row, side by side."""
    count, theme, title_lines = more
    first = _at_scale(layout, paper, 1)
    rim = 12 * first.u * first.k
    width, height = paper.inner
    room = (
        width - rim * (len(views) + 0.4),
        height - rim * 1.5 - first.k * legend_height(first.u),
    )
    cells = (float(sum(view.width for view in views)), float(max(view.height for view in views)))
    field = _at_scale(layout, paper, fitting_scale(layout.cell_size, cells, room))
    step = 12 * field.u
    drawn = detail_marks(layout, marks, views, field.u, step)
    window = Box(0, 0, 1, 1)
    across = sum(view.width for view in views) * CELL + step * (len(views) - 1)
    tall = max(view.height for view in views) * CELL
    # the window is one cell in the middle of the views, which are drawn from the origin
    shift = (-(across - CELL) / 2, -(tall - CELL) / 2)
    page = _Page(layout, field, window, count, count, theme, ("row in detail", *title_lines))
    return page.sheet(moved(drawn, *shift), (), plain=True)
