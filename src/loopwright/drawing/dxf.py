"""Marks as DXF, in metres, y to the north: a layer for each layer of marks, a block for each shape
that comes again, such as a station, a picker or a power node.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from io import StringIO
from itertools import pairwise
from math import hypot
from typing import TYPE_CHECKING, Any

from loopwright.drawing.mark import CELL, Area, Line, Mark, Point, Symbol, Text, outline
from loopwright.drawing.palette import COLOURS, hatch_parts, ink_of

if TYPE_CHECKING:
    from types import ModuleType

ALIGN = {"start": "MIDDLE_LEFT", "middle": "MIDDLE_CENTER", "end": "MIDDLE_RIGHT"}

CLEAR = ("sheet", "panel")
"""Fills that are left out: what stands there is as clear as the ground."""

OFTEN = 3
"""Shapes that come at least so often become blocks."""

Shape = tuple[str, str, str, tuple[Point, ...], str]
"""Layer, kind of mark, ink, corners from the first one on, and what stands at the end."""


def marks_dxf(marks: Iterable[Mark], cell_size: Fraction, title: str = "") -> str:
    """The drawing as the text of a DXF file (R2010)."""
    import ezdxf
    import ezdxf.enums

    options = ezdxf.options  # type: ignore[attr-defined]  # public, though not marked as such
    # without times and random numbers: the same bytes for the same drawing
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        return _Writer(ezdxf, cell_size, title).text(list(marks))
    finally:
        options.write_fixed_meta_data_for_testing = before


class _Writer:
    """One document, filled mark by mark."""

    def __init__(self, ezdxf: ModuleType, cell_size: Fraction, title: str) -> None:
        self.ezdxf = ezdxf
        self.metre = float(cell_size) / CELL
        self.document: Any = ezdxf.new("R2010", units=6)
        self.document.header.custom_vars.append("Title", title)
        self.document.header.custom_vars.append("Kind", "loopwright layout, 1 unit = 1 m")
        self.space: Any = self.document.modelspace()
        self.blocks: dict[Shape, str] = {}
        self.counts: Counter[str] = Counter()
        for pattern in ("DASHED", "DASHDOT"):
            if pattern not in self.document.linetypes:
                length = [1.0, 0.7, -0.3] if pattern == "DASHED" else [1.4, 1.0, -0.2, 0.0, -0.2]
                self.document.linetypes.add(pattern, length)

    def text(self, marks: list[Mark]) -> str:
        """The whole file."""
        shapes = Counter(_shape(mark) for mark in marks if not isinstance(mark, Text))
        for mark in marks:
            self._layer(mark.layer)
            if isinstance(mark, Text):
                self._words(mark)
            elif shapes[_shape(mark)] >= OFTEN:
                name = self._block(mark)
                at = self._place(_corners(mark)[0])
                self.space.add_blockref(name, at, dxfattribs={"layer": mark.layer})
            else:
                self._draw(self.space, mark, (0.0, 0.0))
        return self._written()

    def _written(self) -> str:
        """The document as it stands."""
        stream = StringIO()
        self.document.write(stream)
        return stream.getvalue()

    def _layer(self, name: str) -> None:
        if name not in self.document.layers:
            self.document.layers.add(name, color=7)

    def _place(self, point: Point, origin: Point = (0.0, 0.0)) -> Point:
        x, y = (point[0] - origin[0]) * self.metre, (origin[1] - point[1]) * self.metre
        return round(x, 6), round(y, 6)

    def _block(self, mark: Line | Area | Symbol) -> str:
        key = _shape(mark)
        if key not in self.blocks:
            self.counts[mark.layer] += 1
            name = f"{mark.layer} {self.counts[mark.layer]}"
            block = self.document.blocks.new(name=name)
            self._draw(block, mark, _corners(mark)[0])
            self.blocks[key] = name
        return self.blocks[key]

    def _draw(self, space: Any, mark: Line | Area | Symbol, origin: Point) -> None:
        ink = ink_of(mark.ink)
        corners = _corners(mark)
        points = [self._place(point, origin) for point in corners]
        if not isinstance(mark, Line):
            if ink.fill and ink.fill not in CLEAR:
                self._fill(space, points, ink.fill, mark.layer)
            if (ink.stroke and ink.stroke != "sheet") or ink.fill in CLEAR:
                more = {"layer": mark.layer, **_colour(ink.stroke or "ink")}
                space.add_lwpolyline(points, close=True, dxfattribs=more)
            return
        more = {"layer": mark.layer, **_colour(ink.stroke)}
        if not ink.hair and ink.width >= 1:
            more["const_width"] = round(ink.width * self.metre, 6)
        if ink.dash:
            more |= {"linetype": "DASHED", "ltscale": round(6 * self.metre, 6)}
        for piece in dashes(mark):
            space.add_lwpolyline([self._place(point, origin) for point in piece], dxfattribs=more)
        if mark.end == "dot":
            x, y = points[-1]
            r = round(2 * self.metre, 6)
            self._fill(space, [(x - r, y, 1.0), (x + r, y, 1.0)], "ink", mark.layer)

    def _fill(self, space: Any, points: Sequence[Sequence[float]], paint: str, layer: str) -> None:
        hatch = space.add_hatch(color=7, dxfattribs={"layer": layer, **_colour(paint)})
        if paint == "ground":
            hatch.set_pattern_fill("ANSI31", scale=10 * self.metre)
        hatch.paths.add_polyline_path(points, is_closed=True)

    def _words(self, mark: Text) -> None:
        more = {
            "layer": mark.layer,
            "rotation": -mark.angle % 360,
            **_colour(ink_of(mark.ink).fill),
        }
        # capitals of a drawing's font are as high as its size, those of a screen are not
        height = round(0.72 * mark.size * self.metre, 6)
        text = self.space.add_text(_plain(mark.text), height=height, dxfattribs=more)
        align = self.ezdxf.enums.TextEntityAlignment[ALIGN[mark.anchor]]
        text.set_placement(self._place(mark.at), align=align)


def dashes(line: Line) -> Iterator[list[Point]]:
    """The pieces of a line that its own dashes leave; all of it where it has none."""
    if not line.dash:
        yield list(line.points)
        return
    cuts = line.dash if len(line.dash) % 2 == 0 else line.dash * 2
    at = line.offset % sum(cuts)
    index = 0
    while at >= cuts[index]:
        at -= cuts[index]
        index = (index + 1) % len(cuts)
    left = cuts[index] - at
    run = [line.points[0]]
    for one, other in pairwise(line.points):
        length = hypot(other[0] - one[0], other[1] - one[1])
        done = 0.0
        while length - done > left:
            done += left
            share = done / length
            cut = (one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share)
            if index % 2 == 0:
                yield [*run, cut]
            run = [cut]
            index = (index + 1) % len(cuts)
            left = cuts[index]
        left -= length - done
        run.append(other)
    if index % 2 == 0 and len(run) > 1:
        yield run


def _plain(text: str) -> str:
    """One line without control characters, which DXF cannot hold."""
    return "".join(sign if sign.isprintable() else "?" for sign in text)


def _corners(mark: Line | Area | Symbol) -> tuple[Point, ...]:
    return outline(mark) if isinstance(mark, Symbol) else mark.points


def _shape(mark: Line | Area | Symbol) -> Shape:
    """What two marks must have in common to be one block."""
    corners = _corners(mark)
    x, y = corners[0]
    steps = tuple((round(px - x, 3), round(py - y, 3)) for px, py in corners)
    end = mark.end if isinstance(mark, Line) else ""
    return mark.layer, type(mark).__name__, mark.ink, steps, end


def _colour(paint: str) -> dict[str, int]:
    """The colour of a paint; ink has that of the reader's lines, on a light or a dark ground."""
    if paint in ("ink", "edge"):
        return {"color": 7}
    if paint in ("soft", "faint", "grid", "ground"):
        return {"color": 8}
    role = hatch_parts(paint)[0] if paint.startswith("hatch") else paint
    return {"true_color": int(COLOURS[role][0].removeprefix("#"), 16)}
