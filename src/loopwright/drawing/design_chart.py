"""Designs as points: what each takes of two things, and which of them no other beats in both."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loopwright.drawing.axis import Frame, round_steps, short_number
from loopwright.drawing.legend import cut
from loopwright.drawing.mark import Area, Line, Mark, Symbol, Text, rectangle
from loopwright.drawing.sheet import Sheet
from loopwright.drawing.svg import sheet_svg

_WIDTH = 760.0
_TOP, _FIELD = 68.0, 300.0
_LINE = 23.0
_BESIDE = 18.0
"""Points nearer to each other than that [px] stand side by side."""


@dataclass(frozen=True, slots=True)
class DesignPoint:
    """A design: its letter, what is told of it, where it stands, whether it does what it has to,
    and whether no other that does is as good in both and better in one."""

    letter: str
    told: str
    x: float
    y: float
    sound: bool
    front: bool


def design_chart(
    points: Sequence[DesignPoint],
    x_words: str,
    y_words: str,
    *,
    title: str = "Designs",
    theme: str = "light",
    prefix: str = "lw-designs",
) -> str:
    """Each design as a lettered point; a line joins those that no other beats."""
    bottom = _TOP + _FIELD
    height = bottom + 56 + _LINE * (len(points) + 1)
    xs, ys = [point.x for point in points] or [0.0], [point.y for point in points] or [0.0]
    field = Frame(76, _TOP, _WIDTH - 40, bottom, tuple(_steps(xs, 8)), tuple(_steps(ys, 6)))
    marks: list[Mark] = [Area(rectangle(0, 0, _WIDTH, height), "paper", "paper")]
    marks.append(Text((20, 24), title, 15, "strong", "title", anchor="start"))
    marks += field.marks(x_words, y_words)
    marks += _front([point for point in points if point.front], field)
    marks += _points(points, field)
    marks += _key(points, bottom + 66, (x_words, y_words))
    size = (_WIDTH, height)
    sheet = Sheet(title, 0, 0, _WIDTH, height, size, "px", theme, tuple(marks), hatch=2)
    return sheet_svg(sheet, prefix=prefix)


def _steps(values: Sequence[float], most: int) -> list[float]:
    """Round numbers round `values`, with some room at both ends."""
    low, high = min(values), max(values)
    room = 0.12 * (high - low) or 0.1 * abs(high) or 1.0
    return round_steps(max(0.0, low - room), high + room, most)


def _front(front: Sequence[DesignPoint], field: Frame) -> list[Mark]:
    """Steps from point to point: all that lies above them is beaten."""
    line: list[tuple[float, float]] = []
    for point in front:
        if line:
            line.append((field.x(point.x), line[-1][1]))
        line.append((field.x(point.x), field.y(point.y)))
    if len(line) < 2:
        return []
    return [Line(tuple(line), "target", "front", tooltip="no other is better in both")]


def _points(points: Sequence[DesignPoint], field: Frame) -> list[Mark]:
    """Those that do what they have to are drawn last, so that nothing covers them."""
    marks: list[Mark] = []
    taken: list[tuple[float, float]] = []
    for point in sorted(points, key=lambda point: point.sound):
        x, y = field.x(point.x), field.y(point.y)
        same = sum(abs(x - left) < _BESIDE and abs(y - top) < _BESIDE for left, top in taken)
        taken.append((x, y))
        words = f"{point.letter}: {point.told}; {short_number(point.x)}, {short_number(point.y)}"
        marks += _badge(point, (x + _BESIDE * same, y), "points", words)
    return marks


def _badge(
    point: DesignPoint, at: tuple[float, float], layer: str, words: str = ""
) -> tuple[Mark, Mark]:
    ink, letter = ("solid", "on-dark") if point.sound else ("key", "strong")
    return (
        Symbol(at, "joint", 20, ink, layer, tooltip=words),
        Text(at, point.letter, 11, letter, layer, "letters", tooltip=words),
    )


def _key(points: Sequence[DesignPoint], top: float, words: tuple[str, str]) -> list[Mark]:
    """A line a design: letter, what it is, and both numbers."""
    right, middle = _WIDTH - 40, _WIDTH - 160
    marks: list[Mark] = [
        Text((middle, top), words[0], 11, "small", "key", anchor="end"),
        Text((right, top), words[1], 11, "small", "key", anchor="end"),
    ]
    for number, point in enumerate(points, start=1):
        y = top + _LINE * number
        marks += [
            *_badge(point, (34, y), "key"),
            Text((54, y), cut(point.told, 66), 12, "words", "key", anchor="start"),
            Text((middle, y), short_number(point.x), 12, "words", "key", anchor="end"),
            Text((right, y), short_number(point.y), 12, "words", "key", anchor="end"),
        ]
    return marks
