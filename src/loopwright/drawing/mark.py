"""Marks: all that a drawing consists of, before it becomes a file of some format.

Lengths and places are in sheet units, x to the right and y downwards; a cell of the site is
`CELL` units wide. A mark names its ink (how it looks), its layer and, within that, its group.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

CELL = 10
"""Sheet units in a cell of the site."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """An open line. `end` puts a dot at its last point; `dash` and `offset` cut it in pieces."""

    points: tuple[Point, ...]
    ink: str
    layer: str
    group: str = ""
    tooltip: str = ""
    end: str = ""
    dash: tuple[float, ...] = ()
    offset: float = 0


@dataclass(frozen=True, slots=True)
class Area:
    """A closed outline, filled or not as its ink says."""

    points: tuple[Point, ...]
    ink: str
    layer: str
    group: str = ""
    tooltip: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text, `size` high, centred in height on `at`.

    `anchor` is start, middle or end; `angle` [degrees] turns clockwise about `at`.
    """

    at: Point
    text: str
    size: float
    ink: str
    layer: str
    group: str = ""
    tooltip: str = ""
    anchor: str = "middle"
    angle: int = 0


@dataclass(frozen=True, slots=True)
class Symbol:
    """A shape of `SHAPES`, `size` units long, turned clockwise by `angle` [degrees]."""

    at: Point
    shape: str
    size: float
    ink: str
    layer: str
    group: str = ""
    tooltip: str = ""
    angle: int = 0


Mark = Line | Area | Text | Symbol

SHAPES: dict[str, tuple[Point, ...]] = {
    "arrow": ((0.5, 0.0), (-0.4, 0.45), (-0.2, 0.0), (-0.4, -0.45)),
    "merge": ((0.5, 0.0), (-0.5, 0.5), (-0.5, -0.5)),
    "side merge": ((0.5, 0.0), (-0.2, 0.5), (-0.2, -0.5)),
    "divert": ((0.5, 0.0), (0.0, 0.5), (-0.5, 0.0), (0.0, -0.5)),
    "joint": ((0.5, 0.0), (0.25, 0.43), (-0.25, 0.43), (-0.5, 0.0), (-0.25, -0.43), (0.25, -0.43)),
    "node": (
        (0.5, 0.28),
        (0.28, 0.5),
        (0.0, 0.22),
        (-0.28, 0.5),
        (-0.5, 0.28),
        (-0.22, 0.0),
        (-0.5, -0.28),
        (-0.28, -0.5),
        (0.0, -0.22),
        (0.28, -0.5),
        (0.5, -0.28),
        (0.22, 0.0),
    ),
    "north": ((0.0, -1.0), (0.34, 0.5), (0.0, 0.25), (-0.34, 0.5)),
}
"""Outlines of one unit, pointing to the right (north points up)."""

_QUARTERS = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}


def outline(symbol: Symbol) -> tuple[Point, ...]:
    """The corners of a symbol where it stands.

    Raises
    ------
    KeyError
        No such shape, or an angle that is not 0, 90, 180 or 270.
    """
    cos, sin = _QUARTERS[symbol.angle]
    x, y = symbol.at
    size = symbol.size
    return tuple(
        (x + size * (dx * cos - dy * sin), y + size * (dx * sin + dy * cos))
        for dx, dy in SHAPES[symbol.shape]
    )


def rectangle(x: float, y: float, width: float, height: float) -> tuple[Point, ...]:
    """The corners of an upright rectangle, clockwise from the top left."""
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def number_text(value: float) -> str:
    """A length with at most two decimals and no needless zeros."""
    if value == int(value):
        return str(int(value))
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _place(point: Point) -> str:
    return f"{number_text(point[0])},{number_text(point[1])}"


def mark_text(mark: Mark) -> str:
    """One readable line that says everything about a mark."""
    where = mark.layer + (f"/{mark.group}" if mark.group else "")
    tail = f" | {mark.tooltip}" if mark.tooltip else ""
    if isinstance(mark, Text):
        turn = f" turn {mark.angle}" if mark.angle else ""
        body = f"text {_place(mark.at)} {mark.text!r} {number_text(mark.size)} {mark.anchor}{turn}"
    elif isinstance(mark, Symbol):
        body = f"symbol {_place(mark.at)} {mark.shape} {number_text(mark.size)} turn {mark.angle}"
    else:
        body = f"{type(mark).__name__.lower()} " + " ".join(map(_place, mark.points))
        if isinstance(mark, Line):
            body += f" end {mark.end}" if mark.end else ""
            if mark.dash:
                cuts = ",".join(map(number_text, mark.dash))
                body += f" dash {cuts} from {number_text(mark.offset)}"
    return f"{where}: {body} in {mark.ink}{tail}"


def marks_text(marks: Iterable[Mark]) -> str:
    """All marks as text, one a line, in drawing order."""
    return "".join(mark_text(mark) + "\n" for mark in marks)
