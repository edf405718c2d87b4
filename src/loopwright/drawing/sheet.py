"""The sheet: marks of a layout within frame, ruler, row labels, legend and title block."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loopwright.drawing.belts import belt_marks
from loopwright.drawing.devices import (
    applicator_marks,
    gate_marks,
    junction_marks,
    obstacle_marks,
    picker_marks,
    station_marks,
    store_marks,
)
from loopwright.drawing.docks import dock_letters, dock_marks, docks
from loopwright.drawing.frame import (
    margins,
    place_of,
    row_labels,
    ruler_marks,
    shown_box,
)
from loopwright.drawing.legend import block_width, legend_marks
from loopwright.drawing.mark import CELL, Area, Mark, Text, rectangle
from loopwright.drawing.palette import THEMES
from loopwright.drawing.paper import SCALES
from loopwright.drawing.power import power_marks
from loopwright.grid import Box
from loopwright.layout.carried import carried_materials
from loopwright.layout.footprint import occupied_cells
from loopwright.layout.layout import Layout

PAGE = (420, 297)
"""The page that a drawing is to fit on, A3 lying [mm]."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A finished drawing: all its marks and the rectangle that they fill [sheet units].

    `size` is width and height of the file's picture in `unit` (mm or px); `hatch` scales the
    hatches.
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
    hatch: float = 1


def layout_marks(layout: Layout, shown: Box | None = None) -> list[Mark]:
    """Every device of a layout as marks, from the floor up; obstacles as far as they are shown."""
    carried = carried_materials(layout)
    belts = belt_marks(layout, carried)
    return [
        *obstacle_marks(layout, shown),
        *(mark for mark in belts if mark.layer == "belts"),
        *station_marks(layout),
        *store_marks(layout),
        *applicator_marks(layout),
        *(mark for mark in belts if mark.layer == "flow"),
        *picker_marks(layout),
        *(mark for mark in belts if mark.layer == "bridges"),
        *gate_marks(layout),
        *junction_marks(layout),
        *power_marks(layout),
        *dock_marks(docks(layout, carried, occupied_cells(layout))),
    ]


def drawing_scale(layout: Layout, width: float, height: float) -> int:
    """The n of the largest scale 1:n at which a sheet of that many units fits on the page."""
    metres = layout.cell_size / CELL
    for scale in SCALES:
        mm = float(metres) * 1000 / scale
        if width * mm <= PAGE[0] and height * mm <= PAGE[1]:
            return scale
    return SCALES[-1]


def draw_layout(layout: Layout, *, theme: str = "light", title_lines: Sequence[str] = ()) -> Sheet:
    """The engineering drawing of a layout, or of the built part where most of the site is empty.

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
    occupied = occupied_cells(layout)
    shown = shown_box(layout, occupied)
    west, north, east, south = place_of(shown)
    width, height = east - west, south - north
    u = max(4.0, round(max(width, 1.5 * height) / 130, 1))
    gap = 3.1 * u + 2 * CELL
    side, end = margins(layout, u)
    across = max(width + 2 * (side + gap), block_width(layout, u) + 2 * u) + 2 * u
    left = (west + east - across) / 2
    above = north - gap - end - u
    foot_y = south + gap + end + 0.6 * u
    inner = (left + u, foot_y, across - 2 * u)
    foot, foot_height = legend_marks(layout, shown, inner, u, title_lines)
    total = foot_y + foot_height + u - above
    scale = drawing_scale(layout, across, total)
    mm = float(layout.cell_size) / CELL * 1000 / scale
    page = rectangle(left, above, across, total)
    rim = rectangle(left + 0.5 * u, above + 0.5 * u, across - u, total - u)
    found = docks(layout, carried_materials(layout), occupied)
    marks = (
        Area(page, "paper", "paper"),
        Area(rim, "frame", "frame"),
        *ruler_marks(layout, shown, u, gap),
        *row_labels(layout, shown, u, gap),
        *layout_marks(layout, shown),
        *dock_letters(found, u),
        *foot,
        _scale_note(left + across - 2 * u, foot_y, foot_height, u, scale),
    )
    size = (across * mm, total * mm)
    return Sheet(layout.title, left, above, across, total, size, "mm", theme, marks)


def _scale_note(right: float, y: float, height: float, u: float, scale: int) -> Text:
    at = (right, y + height - 0.9 * u)
    return Text(at, f"1:{scale} on A3", 0.8 * u, "small", "title block", anchor="end")
