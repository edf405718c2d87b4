"""Charts from plain data, in the colours and hatches of the drawings; each gives a whole SVG."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isfinite

from loopwright.drawing.axis import Frame, round_steps, short_number
from loopwright.drawing.legend import cut
from loopwright.drawing.mark import Area, Line, Mark, Point, Text, rectangle
from loopwright.drawing.plan_chart import plan_chart
from loopwright.drawing.sheet import Sheet
from loopwright.drawing.svg import sheet_svg
from loopwright.layout.layout import Material

__all__ = ["RowShares", "plan_chart", "rate_chart", "share_bars"]

_WIDTH = 760.0


@dataclass(frozen=True, slots=True)
class RowShares:
    """How the stations of a row spent their time: shares of 1, `starved` by material name."""

    name: str
    busy: float
    blocked: float
    starved: Mapping[str, float]


def _chart(title: str, height: float, marks: list[Mark], theme: str, prefix: str) -> str:
    page: Mark = Area(rectangle(0, 0, _WIDTH, height), "paper", "paper")
    size = (_WIDTH, height)
    sheet = Sheet(title, 0, 0, _WIDTH, height, size, "px", theme, (page, *marks), hatch=2)
    return sheet_svg(sheet, prefix=prefix)


def rate_chart(
    times: Sequence[float],
    rates: Sequence[float],
    target: float | None = None,
    *,
    title: str = "Rate over time",
    unit: str = "units/s",
    time_unit: str = "s",
    theme: str = "light",
    prefix: str = "lw-rate",
) -> str:
    """Rate over time as a line, with a dashed line at the target.

    Raises
    ------
    ValueError
        Not as many rates as times.
    """
    if len(times) != len(rates):
        raise ValueError(f"{len(times)} times, but {len(rates)} rates")
    height = 320.0
    pairs = [(t, r) for t, r in zip(times, rates, strict=True) if isfinite(t) and isfinite(r)]
    low, high = min((t for t, _ in pairs), default=0), max((t for t, _ in pairs), default=1)
    most = max([target or 0, *(r for _, r in pairs)]) or 1
    least = min([0, *(r for _, r in pairs)])
    xs, ys = round_steps(low, high, 10), round_steps(least, most * 1.08, 6)
    field = Frame(64, 68, _WIDTH - 24, height - 48, tuple(xs), tuple(ys))
    marks: list[Mark] = [Text((20, 24), title, 15, "strong", "title", anchor="start")]
    marks += field.marks(f"time [{time_unit}]", f"rate [{unit}]")
    points: tuple[Point, ...] = tuple((field.x(t), field.y(r)) for t, r in pairs)
    if len(points) > 1:
        marks.append(Line(points, "curve", "rate", tooltip="measured rate"))
    elif points:
        x, y = points[0]
        marks.append(Area(rectangle(x - 2, y - 2, 4, 4), "solid", "rate"))
    if target is not None:
        y = field.y(target)
        words = f"target {short_number(target)} {unit}"
        line = ((field.left, y), (field.right, y))
        marks.append(Line(line, "target", "target", tooltip=words))
        marks.append(Text((field.right, y - 12), words, 12, "alarm", "target", anchor="end"))
    return _chart(title, height, marks, theme, prefix)


def _share_key(materials: Sequence[Material], used: list[int], top: float) -> list[Mark]:
    """One line, or several, that say which filling stands for what."""
    entries = [("busy", "busy"), ("blocked", "blocked: outlet full")]
    entries += [
        (f"swatch{i + 1}", f"starved of {materials[i].letter} {cut(materials[i].title, 20)}")
        for i in used
    ]
    marks: list[Mark] = []
    x, y = 20.0, top
    for ink, words in entries:
        length = 32 + 7.2 * len(words)
        if x + length > _WIDTH - 20 and x > 20:
            x, y = 20.0, y + 20
        marks.append(Area(rectangle(x, y - 6, 20, 12), ink, "key"))
        marks.append(Text((x + 26, y), words, 12, "words", "key", anchor="start"))
        x += length + 14
    return marks


def share_bars(
    rows: Sequence[RowShares],
    materials: Sequence[Material],
    *,
    title: str = "Time of the stations by row",
    theme: str = "light",
    prefix: str = "lw-shares",
) -> str:
    """Stacked bars, one a row: busy, blocked, starved by material, and what is left blank."""
    used = [i for i, m in enumerate(materials) if any(row.starved.get(m.name) for row in rows)]
    marks: list[Mark] = [Text((20, 24), title, 15, "strong", "title", anchor="start")]
    key = _share_key(materials, used, 50)
    marks += key
    top = max(mark.at[1] for mark in key if isinstance(mark, Text)) + 22
    left, right = 140.0, _WIDTH - 30
    height = top + 26 * len(rows) + 40
    bottom = top + 26 * len(rows)
    for percent in (0, 25, 50, 75, 100):
        x = left + (right - left) * percent / 100
        marks.append(Line(((x, top - 4), (x, bottom + 4)), "grid", "grid"))
        marks.append(Text((x, bottom + 14), f"{percent} %", 12, "small", "axes"))
    for index, row in enumerate(rows):
        y = top + 26 * index
        name = cut(row.name, 17)
        marks.append(Text((left - 10, y + 12), name, 12, "words", "names", anchor="end"))
        marks += _bar(row, materials, (left, y + 2, right - left, 19))
    return _chart(title, height, marks, theme, prefix)


def _bar(
    row: RowShares, materials: Sequence[Material], place: tuple[float, float, float, float]
) -> list[Mark]:
    left, top, width, height = place
    parts = [("busy", "busy", row.busy, "strong"), ("blocked", "blocked", row.blocked, "on-dark")]
    for index, material in enumerate(materials):
        share = row.starved.get(material.name, 0)
        parts.append((f"swatch{index + 1}", f"starved of {material.name}", share, "tag"))
    marks: list[Mark] = []
    x = left
    for ink, words, share, text_ink in parts:
        length = width * min(max(share, 0), 1)
        if length < 0.05:
            continue
        tooltip = f"{row.name}: {words} {100 * share:.1f} %"
        outline = rectangle(round(x, 2), top, round(length, 2), height)
        marks.append(Area(outline, ink, "bars", tooltip=tooltip))
        if length > 44:
            letter = "" if not ink.startswith("swatch") else _letter_of(ink, materials)
            text = f"{letter}{100 * share:.0f} %"
            at = (round(x + length / 2, 1), top + height / 2)
            marks.append(Text(at, text, 11, text_ink, "bars", "shares"))
        x += length
    return marks


def _letter_of(ink: str, materials: Sequence[Material]) -> str:
    return materials[int(ink.removeprefix("swatch")) - 1].letter + " "
