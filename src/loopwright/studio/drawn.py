"""The printed drawing of a layout as a message: the same marks, with empty belts."""

from __future__ import annotations

from collections.abc import Iterable

from loopwright.drawing import layout_marks
from loopwright.drawing.mark import CELL, Line, Mark, Symbol, Text, outline
from loopwright.drawing.palette import ink_of
from loopwright.layout.layout import Layout
from loopwright.studio.floor_message import FloorMarks, FloorWords, Look

DOT = 2.6
"""Radius of the dot at the putting end of a picker, as printed, in widths of its line."""

SHOWN_BY_CARRIERS = ("plates", "letters")
"""Groups of marks on belts that tell what they carry: on the floor the carriers do."""


def drawn(layout: Layout) -> tuple[tuple[FloorMarks, ...], tuple[FloorWords, ...], dict[str, Look]]:
    """Marks and words from the floor up, and how each ink looks."""
    marks = [mark for mark in map(_empty, layout_marks(layout)) if mark is not None]
    shapes, words = _shapes(marks), _words(marks)
    inks = {one.ink for one in shapes} | {one.ink for one in words}
    return shapes, words, {name: _look(name) for name in sorted(inks)}


def _empty(mark: Mark) -> Mark | None:
    """The mark as it is where nothing lies on the belts."""
    if mark.layer in ("flow", "bridges") and mark.group in SHOWN_BY_CARRIERS:
        return None
    if isinstance(mark, Line) and mark.ink.startswith("band"):
        return Line(mark.points, "belt-empty", mark.layer)
    return mark


def _shapes(marks: Iterable[Mark]) -> tuple[FloorMarks, ...]:
    """Lines and areas; those that follow each other in one layer and ink go together, in layers
    without crossings all of an ink."""
    groups: dict[tuple[str, str, bool, float, int], list[tuple[float, ...]]] = {}
    turn = 0
    last: tuple[str, str] = ("", "")
    for mark in marks:
        if isinstance(mark, Text):
            continue
        if mark.layer == "bridges" and (mark.layer, mark.ink) != last:
            turn += 1
        last = (mark.layer, mark.ink)
        dot = ink_of(mark.ink).width * DOT / CELL / 2 if getattr(mark, "end", "") == "dot" else 0.0
        points = outline(mark) if isinstance(mark, Symbol) else mark.points
        flat = tuple(round(value / CELL, 3) for point in points for value in point)
        key = (mark.layer, mark.ink, not isinstance(mark, Line), dot, turn)
        found = groups.setdefault(key, [])
        if not found or found[-1] != flat:  # the bands of a mixed belt lie on one line
            found.append(flat)
    return tuple(
        FloorMarks(layer=layer, ink=ink, closed=closed, dot=dot, points=tuple(points))
        for (layer, ink, closed, dot, _), points in groups.items()
    )


def _words(marks: Iterable[Mark]) -> tuple[FloorWords, ...]:
    groups: dict[tuple[str, str, str, int], tuple[list[float], list[str]]] = {}
    for mark in marks:
        if isinstance(mark, Text):
            key = (mark.layer, mark.ink, mark.anchor, mark.angle)
            places, words = groups.setdefault(key, ([], []))
            places += [round(value / CELL, 3) for value in (*mark.at, mark.size)]
            words.append(mark.text)
    return tuple(
        FloorWords(
            layer=layer, ink=ink, anchor=anchor, angle=angle,
            places=tuple(places), words=tuple(words),
        )
        for (layer, ink, anchor, angle), (places, words) in groups.items()
    )  # fmt: skip


def _look(name: str) -> Look:
    ink = ink_of(name)
    scale = 1 if ink.hair else CELL
    return Look(
        stroke=ink.stroke,
        fill=ink.fill,
        width=ink.width / scale,
        dash=tuple(float(part) / scale for part in ink.dash.split()),
        hair=ink.hair,
        bold=ink.bold,
        halo=ink.halo / CELL,
    )
