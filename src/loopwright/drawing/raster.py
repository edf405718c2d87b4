"""Marks as pixels, for films: no program beside Pillow is needed. Hatches become their colour."""

from __future__ import annotations

from collections.abc import Iterable

from PIL import Image, ImageDraw, ImageFont

from loopwright.drawing.mark import Area, Line, Mark, Point, Symbol, Text, outline
from loopwright.drawing.palette import COLOURS, Ink, hatch_parts, ink_of

FINE = 2
"""Pixels drawn for each that is shown, along each side, so that slanted edges are smooth."""

Colour = tuple[int, int, int]


def colour(role: str, theme: str) -> Colour:
    """Red, green and blue [0 to 255] of a colour role on a light or a dark sheet."""
    text = COLOURS[role][theme == "dark"]
    return int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16)


def paint_colour(paint: str, theme: str) -> Colour | None:
    """The colour that comes closest to a paint of an ink; None where nothing is drawn."""
    if not paint:
        return None
    if paint.startswith("hatch"):
        return colour(hatch_parts(paint)[0], theme)
    return colour("grid" if paint == "ground" else paint, theme)


def marks_image(
    marks: Iterable[Mark], corner: Point, size: tuple[int, int], scale: float, theme: str
) -> Image.Image:
    """Marks as a picture of `size` pixels; `corner` is what lies at its top left [sheet units] and
    `scale` pixels are a sheet unit. `theme` is light or dark."""
    fine = (size[0] * FINE, size[1] * FINE)
    picture = Image.new("RGB", fine, colour("sheet", theme))
    painter = _Painter(picture, corner, scale * FINE, theme)
    for mark in marks:
        painter.paint(mark)
    return picture.resize(size, Image.Resampling.LANCZOS)


def font(size: float) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    """The typeface that comes with Pillow, `size` pixels high; the same on every machine."""
    return ImageFont.load_default(max(size, 1))


class _Painter:
    """Paints marks one over the other."""

    def __init__(self, picture: Image.Image, corner: Point, scale: float, theme: str) -> None:
        self.draw = ImageDraw.Draw(picture)
        self.corner, self.scale, self.theme = corner, scale, theme

    def paint(self, mark: Mark) -> None:
        """One mark, as its ink says."""
        ink = ink_of(mark.ink)
        stroke, fill = (paint_colour(paint, self.theme) for paint in (ink.stroke, ink.fill))
        if isinstance(mark, Text):
            self._text(mark, fill or colour("ink", self.theme))
        elif isinstance(mark, Line):
            if stroke is not None:
                points = self._points(mark.points)
                self.draw.line(points, fill=stroke, width=self._width(ink), joint="curve")
        else:
            self._area(mark, ink, stroke, fill)

    def _area(
        self, mark: Area | Symbol, ink: Ink, stroke: Colour | None, fill: Colour | None
    ) -> None:
        points = self._points(outline(mark) if isinstance(mark, Symbol) else mark.points)
        if fill is not None:
            self.draw.polygon(points, fill=fill)
        if stroke is not None and ink.width:
            self.draw.line([*points, points[0]], fill=stroke, width=self._width(ink))

    def _text(self, mark: Text, fill: Colour) -> None:
        size = mark.size * self.scale
        if size < 5 * FINE or mark.angle:
            return  # too small to be read
        anchor = {"start": "lm", "middle": "mm", "end": "rm"}[mark.anchor]
        (at,) = self._points((mark.at,))
        self.draw.text(at, mark.text, fill=fill, font=font(size), anchor=anchor)

    def _points(self, points: Iterable[Point]) -> list[tuple[float, float]]:
        x, y = self.corner
        return [((px - x) * self.scale, (py - y) * self.scale) for px, py in points]

    def _width(self, ink: Ink) -> int:
        if ink.hair:
            return FINE
        return max(1, round(ink.width * self.scale))
