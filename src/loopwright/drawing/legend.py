"""The foot of a sheet: materials, symbols, scale bar, north arrow and title block."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from loopwright.drawing.frame import key_plan
from loopwright.drawing.mark import CELL, Area, Line, Mark, Point, Symbol, Text, rectangle
from loopwright.grid import Box
from loopwright.layout.layout import Layout

_ROWS = 8
_TITLE = 34
_BAR = 22
_COLUMN = 17.5


def _materials_width(layout: Layout) -> float:
    columns = max(1, -(-len(layout.materials) // (_ROWS - 1)))
    return columns * _COLUMN


def block_width(layout: Layout, u: float) -> float:
    """Width that the foot needs; `u` is the height of plain text [sheet units]."""
    return (_materials_width(layout) + 3 * _COLUMN + _BAR + _TITLE) * u


def cut(text: str, count: int) -> str:
    """`text`, shortened to `count` characters with an ellipsis."""
    return text if len(text) <= count else text[: count - 1] + "…"


def _materials(layout: Layout, at: Point, u: float) -> Iterator[Mark]:
    x, y = at
    yield Text((x, y), "MATERIALS", 0.8 * u, "small", "legend", anchor="start")
    for index, material in enumerate(layout.materials):
        column, line = divmod(index, _ROWS - 1)
        left, middle = x + column * _COLUMN * u, y + (line + 1) * 1.5 * u
        swatch = rectangle(left, middle - 0.5 * u, 2.6 * u, u)
        yield Area(swatch, f"swatch{index + 1}", "legend")
        place = (left + 3.7 * u, middle)
        yield Text(place, material.letter, u, "strong", "legend")
        name = cut(material.title or material.name, 21)
        yield Text((left + 4.8 * u, middle), name, 0.9 * u, "words", "legend", anchor="start")


def _key(kind: str, x: float, y: float, u: float, material: bool) -> Iterator[Mark]:
    """A sample of a kind of device, within 2.6 u by u around (x, y)."""
    left, right = x - 1.3 * u, x + 1.3 * u
    if kind == "station":
        yield Area(_square(x, y, 0.6 * u), "key", "legend")
        yield Text((x, y), "7", 0.7 * u, "words", "legend")
    elif kind == "picker":
        yield Line(((left + 0.5 * u, y), (right - 0.5 * u, y)), "key-line", "legend")
        yield Symbol((right - 0.5 * u, y), "joint", 0.45 * u, "solid", "legend")
    elif kind == "flow":
        yield Line(((left, y), (right, y)), "key-line", "legend")
        yield Symbol((x, y), "arrow", 0.9 * u, "solid", "legend")
    elif kind == "bridge":
        for off in (-0.3, 0.3):
            yield Line(((left, y + off * u), (right, y + off * u)), "key-line", "legend")
        for end in (left, right):
            yield Line(((end, y - 0.5 * u), (end, y + 0.5 * u)), "key-line", "legend")
    elif kind == "gate":
        yield Area(_notched_key(x, y, u), "key", "legend")
        yield Text((x + 0.05 * u, y), "G", 0.75 * u, "strong", "legend")
    elif kind == "side merge":
        yield Line(((x + 0.5 * u, y - 0.6 * u), (x + 0.5 * u, y + 0.6 * u)), "key-line", "legend")
        yield Symbol((x, y), kind, 0.9 * u, "key", "legend")
    elif kind in ("merge", "divert"):
        yield Symbol((x, y), kind, 1.1 * u, "key", "legend")
    elif kind == "joint":
        yield Symbol((x, y), kind, 0.5 * u, "solid", "legend")
    elif kind in ("supply dock", "exit dock"):
        ink = "swatch1" if kind == "supply dock" and material else "key"
        yield Area(_half_arrow(x, y, u), ink, "legend")
    elif kind == "store":
        yield Area(_square(x, y, 0.6 * u), "key", "legend")
        yield Area(_square(x, y, 0.4 * u), "key", "legend")
    elif kind == "applicator":
        yield Area(_square(x, y, 0.35 * u), "key", "legend")
        yield Line(((x, y), (right, y)), "key-line", "legend")
    elif kind == "power node":
        yield Symbol((x, y), "node", 1.1 * u, "key-node", "legend")
    elif kind == "power link":
        yield Line(((left, y), (right, y)), "key-cable", "legend")
    elif kind == "obstacle":
        yield Area(rectangle(left, y - 0.5 * u, 2.6 * u, u), "obstacle", "legend")


def _square(x: float, y: float, half: float) -> tuple[Point, ...]:
    return rectangle(x - half, y - half, 2 * half, 2 * half)


def _notched_key(x: float, y: float, u: float) -> tuple[Point, ...]:
    flat = [(-0.6, -0.65), (0.6, -0.65), (0.6, 0.65), (-0.6, 0.65), (-0.6, 0.25), (-0.35, 0.0),
            (-0.6, -0.25)]  # fmt: skip
    return tuple((x + a * u, y + b * u) for a, b in flat)


def _half_arrow(x: float, y: float, u: float) -> tuple[Point, ...]:
    flat = [(-1.2, -0.5), (0.6, -0.5), (1.2, 0.0), (0.6, 0.5), (-1.2, 0.5)]
    return tuple((x + a * u, y + b * u) for a, b in flat)


def _kinds(layout: Layout) -> list[tuple[str, str, int]]:
    """(sample, words, how many) of each kind of device."""
    bridges = sum(
        1
        for belt in layout.belts
        for i, cell in enumerate(belt.path)
        if cell.level and (i == 0 or not belt.path[i - 1].level)
    )
    return [
        ("flow", "belt, way of flow", len(layout.belts)),
        ("bridge", "bridge over a belt", bridges),
        ("station", "station", len(layout.stations)),
        ("picker", "picker, dot puts", len(layout.pickers)),
        ("supply dock", "supply dock", len(layout.sources)),
        ("exit dock", "exit dock", len(layout.drains)),
        ("gate", "gate of a loop", len(layout.gates)),
        ("merge", "merge", sum(len(merge.inlets) > 1 for merge in layout.merges)),
        ("joint", "joint", sum(len(merge.inlets) == 1 for merge in layout.merges)),
        ("side merge", "side merge", len(layout.side_merges)),
        ("divert", "divert", len(layout.diverts)),
        ("store", "store", len(layout.stores)),
        ("applicator", "applicator", len(layout.applicators)),
        ("power node", "power node", len(layout.power_nodes)),
        ("power link", "power link", len(layout.power_links)),
        ("obstacle", "obstacle", len(layout.obstacles)),
    ]


def _symbols(layout: Layout, at: Point, u: float) -> Iterator[Mark]:
    x, y = at
    yield Text((x, y), "SYMBOLS", 0.8 * u, "small", "legend", anchor="start")
    shown = [entry for entry in _kinds(layout) if entry[2]]
    for index, (kind, words, count) in enumerate(shown):
        column, line = divmod(index, _ROWS - 1)
        left, middle = x + column * 1.4 * _COLUMN * u, y + (line + 1) * 1.5 * u
        yield from _key(kind, left + 1.3 * u, middle, u, bool(layout.materials))
        text = f"{words} ({count})"
        yield Text((left + 3.4 * u, middle), text, 0.9 * u, "words", "legend", anchor="start")


def bar_cells(limit: float) -> int:
    """The longest of 1, 2, 5, 10, 20, 50 ... cells that is at most `limit` cells."""
    best = 1
    power = 1
    while power <= limit:
        for step in (1, 2, 5):
            if step * power <= limit:
                best = step * power
        power *= 10
    return best


def _length_text(cells: int, cell_size: Fraction) -> str:
    metres = cells * cell_size
    value = str(metres.numerator) if metres.denominator == 1 else f"{float(metres):g}"
    return f"{cells} cells = {value} m"


def _scale_bar(layout: Layout, at: Point, u: float) -> Iterator[Mark]:
    x, y = at
    cells = bar_cells((_BAR - 6) * u / CELL)
    length = cells * CELL
    yield Text((x, y), "SCALE", 0.8 * u, "small", "scale bar", anchor="start")
    top = y + 1.4 * u
    parts = 4 if cells % 4 == 0 else 5 if cells % 5 == 0 else cells
    for part in range(parts):
        piece = rectangle(x + part * length / parts, top, length / parts, 0.5 * u)
        yield Area(piece, "key" if part % 2 else "solid", "scale bar")
    yield Line(((x, top), (x + length, top)), "key-line", "scale bar")
    text = _length_text(cells, layout.cell_size)
    yield Text((x, top + 1.3 * u), text, 0.9 * u, "words", "scale bar", anchor="start")
    site = f"site {layout.width} x {layout.height} cells"
    yield Text((x, top + 2.6 * u), site, 0.9 * u, "words", "scale bar", anchor="start")
    north = (x + 1.4 * u, y + 7.6 * u)
    yield Symbol(north, "north", 2.4 * u, "solid", "north arrow")
    yield Text((north[0] + 1.8 * u, north[1]), "N", 1.2 * u, "strong", "north arrow")


def _title_block(layout: Layout, box: tuple[float, float, float, float], u: float,
                 lines: Sequence[str]) -> Iterator[Mark]:  # fmt: skip
    x, y, width, height = box
    yield Area(rectangle(x, y, width, height), "frame", "title block")
    rule = y + 3 * u
    yield Line(((x, rule), (x + width, rule)), "soft-line", "title block")
    room = width / u - 2
    size = min(1.6, room / max(1, 0.62 * len(layout.title)))
    title = cut(layout.title, 60)
    place = (x + u, y + 1.55 * u)
    yield Text(place, title, max(0.7, size) * u, "strong", "title block", anchor="start")
    for index, line in enumerate(lines[:4]):
        place = (x + u, rule + (1.1 + 1.35 * index) * u)
        text = cut(line, int(room / 0.56))
        yield Text(place, text, 0.95 * u, "words", "title block", anchor="start")
    foot = y + height - 1.8 * u
    yield Line(((x, foot), (x + width, foot)), "soft-line", "title block")
    place = (x + u, foot + 0.9 * u)
    yield Text(place, "Loopwright · layout", 0.8 * u, "small", "title block", anchor="start")


def legend_height(u: float) -> float:
    """Height of the foot of a sheet [sheet units]."""
    return (_ROWS + 0.6) * 1.5 * u + 0.4 * u


def legend_marks(
    layout: Layout,
    shown: Box,
    place: tuple[float, float, float],
    u: float,
    title_lines: Sequence[str],
) -> tuple[list[Mark], float]:
    """The foot of the sheet within `place` (left, top, width), and its height [sheet units]."""
    x, y, width = place
    height = (_ROWS + 0.6) * 1.5 * u
    marks: list[Mark] = [Line(((x, y), (x + width, y)), "soft-line", "legend")]
    top = y + 1.2 * u
    marks += _materials(layout, (x + 0.5 * u, top), u)
    marks += _symbols(layout, (x + (_materials_width(layout) + 1) * u, top), u)
    right = x + width - _TITLE * u
    bar = right - _BAR * u
    marks += _scale_bar(layout, (bar, top), u)
    if shown != Box(0, 0, layout.width, layout.height):
        marks += key_plan(layout, shown, (bar + 6 * u, top + 5 * u), (13 * u, 5.4 * u))
    box = (right, y + 0.5 * u, (_TITLE - 0.2) * u, height - 0.2 * u)
    marks += _title_block(layout, box, u, title_lines)
    return marks, legend_height(u)
