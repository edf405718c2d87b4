"""The sheet: marks of a layout within frame, ruler, row labels, legend and title block."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loopwright.drawing.belts import belt_marks
from loopwright.drawing.devices import (
    dock_letters,
    dock_marks,
    docks,
    gate_marks,
    junction_marks,
    obstacle_marks,
    picker_marks,
    station_marks,
    store_marks,
)
from loopwright.drawing.legend import block_width, legend_marks
from loopwright.drawing.mark import CELL, Area, Line, Mark, Text, rectangle
from loopwright.drawing.palette import THEMES
from loopwright.grid import Box
from loopwright.layout.carried import carried_materials
from loopwright.layout.layout import Layout

SCALES = (10, 20, 50, 100, 200, 250, 500, 1000, 2000, 2500, 5000, 10000)
"""Scales 1:n that a drawing may have."""

PAGE = (420, 297)
"""The page that a drawing is to fit on, A3 lying [mm]."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A finished drawing: all its marks and the rectangle that they fill [sheet units].

    `size` is width and height of the file's picture in `unit` (mm or px).
    """

    title: str
    x: float
    y: float
    width: float
    height: float
    size: tuple[float, float]
    unit: str
    theme: str
    marks: tuple[Mark, ...]


def layout_marks(layout: Layout) -> list[Mark]:
    """Every device of a layout as marks, from the floor up."""
    carried = carried_materials(layout)
    belts = belt_marks(layout, carried)
    return [
        *obstacle_marks(layout),
        *(mark for mark in belts if mark.layer == "belts"),
        *station_marks(layout),
        *store_marks(layout),
        *(mark for mark in belts if mark.layer == "flow"),
        *picker_marks(layout),
        *(mark for mark in belts if mark.layer == "bridges"),
        *gate_marks(layout),
        *junction_marks(layout),
        *dock_marks(docks(layout, carried)),
    ]


def row_boxes(layout: Layout) -> dict[str, tuple[Box, int]]:
    """Box and number of stations of each named row."""
    boxes: dict[str, list[Box]] = defaultdict(list)
    for station in layout.stations:
        if station.row:
            boxes[station.row].append(station.box)
    found: dict[str, tuple[Box, int]] = {}
    for row, parts in boxes.items():
        whole = parts[0]
        for part in parts:
            whole = whole.union(part)
        found[row] = (whole, len(parts))
    return found


def _row_labels(layout: Layout, u: float, gap: float) -> Iterator[Mark]:
    """Names of rows in the margins, with an axis through each row."""
    width, height = layout.width * CELL, layout.height * CELL
    lying: dict[int, list[tuple[int, str, int]]] = defaultdict(list)
    upright: dict[int, list[tuple[int, str, int]]] = defaultdict(list)
    for row, (box, count) in row_boxes(layout).items():
        if box.width >= box.height:
            lying[box.y * 2 + box.height].append((box.x, row, count))
        else:
            upright[box.x * 2 + box.width].append((box.y, row, count))
    for twice, rows in sorted(lying.items()):
        y = twice * CELL / 2
        name = " · ".join(row for _, row, _ in sorted(rows))
        yield Line(((-gap, y), (width + gap, y)), "axis", "axes")
        for side, anchor in ((-gap - 0.5 * u, "end"), (width + gap + 0.5 * u, "start")):
            yield Text((side, y), name, 1.15 * u, "strong", "rows", anchor=anchor)
    for twice, rows in sorted(upright.items()):
        x = twice * CELL / 2
        name = " · ".join(row for _, row, _ in sorted(rows))
        yield Line(((x, -gap), (x, height + gap)), "axis", "axes")
        for side, anchor in ((-gap - 0.5 * u, "start"), (height + gap + 0.5 * u, "end")):
            yield Text((x, side), name, 1.15 * u, "strong", "rows", anchor=anchor, angle=270)


def _ruler(layout: Layout, u: float, gap: float) -> Iterator[Mark]:
    """Grid lines each 10 cells, and their numbers in the frame."""
    width, height = layout.width * CELL, layout.height * CELL
    step = next(step for step in (10, 20, 50, 100, 200, 500, 10**6) if step * CELL >= 2.4 * u)
    for x in range(0, layout.width + 1, 10):
        yield Line(((x * CELL, 0), (x * CELL, height)), "grid", "grid")
    for y in range(0, layout.height + 1, 10):
        yield Line(((0, y * CELL), (width, y * CELL)), "grid", "grid")
    yield Area(rectangle(0, 0, width, height), "site", "site")
    for x in range(0, layout.width + 1, step):
        for edge, way in ((0, -1), (height, 1)):
            yield Line(((x * CELL, edge), (x * CELL, edge + way * 0.35 * u)), "soft-line", "ruler")
            above = (x * CELL, edge + way * (gap - 0.5 * u))
            yield Text(above, str(x), 0.75 * u, "small", "ruler", "numbers")
    for y in range(0, layout.height + 1, step):
        for side, way in ((0, -1), (width, 1)):
            yield Line(((side, y * CELL), (side + way * 0.35 * u, y * CELL)), "soft-line", "ruler")
            beside = (side + way * (gap - 0.2 * u), y * CELL)
            anchor = "end" if way > 0 else "start"
            yield Text(beside, str(y), 0.75 * u, "small", "ruler", "numbers", anchor=anchor)


def _margins(layout: Layout, u: float) -> tuple[float, float]:
    """Width of the side margins, height of the top and bottom ones."""
    longest = {True: 0, False: 0}
    for row, (box, _) in row_boxes(layout).items():
        lying = box.width >= box.height
        longest[lying] = max(longest[lying], len(row))
    return 0.8 * u * longest[True] + 1.2 * u, 0.8 * u * longest[False] + 1.2 * u


def drawing_scale(layout: Layout, width: float, height: float) -> int:
    """The n of the largest scale 1:n at which a sheet of that many units fits on the page."""
    metres = layout.cell_size / CELL
    for scale in SCALES:
        mm = float(metres) * 1000 / scale
        if width * mm <= PAGE[0] and height * mm <= PAGE[1]:
            return scale
    return SCALES[-1]


def draw_layout(layout: Layout, *, theme: str = "light", title_lines: Sequence[str] = ()) -> Sheet:
    """The engineering drawing of a layout.

    Parameters
    ----------
    theme
        light, dark, auto (as the reader's setting) or page (colours from the page around it).
    title_lines
        Further lines of the title block, such as the project, the scenario or the rate.

    Raises
    ------
    ValueError
        The theme is none of these.
    """
    if theme not in THEMES:
        raise ValueError(f"theme {theme!r} is none of {', '.join(THEMES)}")
    width, height = layout.width * CELL, layout.height * CELL
    u = max(4.0, round(max(width, 1.5 * height) / 130, 1))
    gap = 3.1 * u + 2 * CELL
    side, top = _margins(layout, u)
    across = max(width + 2 * (side + gap), block_width(layout, u) + 4 * u)
    left = (width - across) / 2 - u
    above = -gap - top - u
    legend_y = height + gap + top + 0.6 * u
    inner = across + 2 * u
    foot, foot_height = legend_marks(layout, (left + u, legend_y), inner - 2 * u, u, title_lines)
    total = legend_y + foot_height + u - above
    scale = drawing_scale(layout, inner, total)
    mm = float(layout.cell_size) / CELL * 1000 / scale
    foot += [_scale_note(left + inner - 2 * u, legend_y, foot_height, u, scale)]
    page = rectangle(left, above, inner, total)
    frame = rectangle(left + 0.5 * u, above + 0.5 * u, inner - u, total - u)
    marks = (
        Area(page, "paper", "paper"),
        Area(frame, "frame", "frame"),
        *_ruler(layout, u, gap),
        *_row_labels(layout, u, gap),
        *layout_marks(layout),
        *dock_letters(docks(layout, carried_materials(layout)), u),
        *foot,
    )
    size = (inner * mm, total * mm)
    return Sheet(layout.title, left, above, inner, total, size, "mm", theme, marks)


def _scale_note(right: float, y: float, height: float, u: float, scale: int) -> Text:
    at = (right, y + height - 0.9 * u)
    return Text(at, f"1:{scale} on A3", 0.8 * u, "small", "title block", anchor="end")
