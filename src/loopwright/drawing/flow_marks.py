"""A placed flow diagram as marks: ribbons, boxes, bars, words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import hypot
from textwrap import wrap

from loopwright.drawing.axis import short_number
from loopwright.drawing.flow_shape import STUB, Return, Run, Shape
from loopwright.drawing.mark import Area, Mark, Point, Symbol, Text, rectangle

_BENDS = 14


def wrapped(text: str, width: int, most: int = 2) -> list[str]:
    """`text` in at most `most` even lines of up to `width` characters, with an ellipsis if cut."""
    lines = wrap(text, width, break_long_words=True) or [""]
    if len(lines) > most:
        rest = " ".join(lines[most - 1 :])
        return [*lines[: most - 1], rest[: width - 1].rstrip(" -_") + "\u2026"]
    for narrow in range(width - 1, 3, -1):
        even = wrap(text, narrow, break_long_words=False)
        if len(even) > len(lines) or max(map(len, even)) > narrow:
            break
        lines = even
    return lines


def run_outline(run: Run, thick: float) -> tuple[Point, ...]:
    """The outline of a forward ribbon: level within layers, eased between them."""
    upper: list[Point] = []
    half = thick / 2
    for index, (left, right, y) in enumerate(run.levels):
        if index:
            _, start, level = run.levels[index - 1]
            for bend in range(1, _BENDS):
                t = bend / _BENDS
                ease = t * t * (3 - 2 * t)
                upper.append((start + (left - start) * t, level + (y - level) * ease - half))
        upper.append((left, y - half))
        if right > left:
            upper.append((right, y - half))
    return (*upper, *((x, y + thick) for x, y in reversed(upper)))


def return_line(way: Return, radius: float) -> list[Point]:
    """The middle line of a return, with rounded corners."""
    corners = [
        way.start,
        (way.out_x, way.start[1]),
        (way.out_x, way.lane),
        (way.in_x, way.lane),
        (way.in_x, way.end[1]),
        way.end,
    ]
    points: list[Point] = [corners[0]]
    for before, corner, after in zip(corners, corners[1:], corners[2:], strict=False):
        first, last = _toward(corner, before, radius), _toward(corner, after, radius)
        for bend in range(7):
            t = bend / 6
            points.append(
                (
                    (1 - t) ** 2 * first[0] + 2 * t * (1 - t) * corner[0] + t * t * last[0],
                    (1 - t) ** 2 * first[1] + 2 * t * (1 - t) * corner[1] + t * t * last[1],
                )
            )
    points.append(corners[-1])
    return points


def _toward(corner: Point, other: Point, radius: float) -> Point:
    far = hypot(other[0] - corner[0], other[1] - corner[1])
    share = min(radius, far / 2) / far if far else 0
    return (corner[0] + (other[0] - corner[0]) * share, corner[1] + (other[1] - corner[1]) * share)


def band(points: Sequence[Point], thick: float) -> tuple[Point, ...]:
    """The outline of a band of even width along a line."""
    left: list[Point] = []
    right: list[Point] = []
    for index, (x, y) in enumerate(points):
        ahead, behind = points[min(index + 1, len(points) - 1)], points[max(index - 1, 0)]
        dx, dy = ahead[0] - behind[0], ahead[1] - behind[1]
        far = hypot(dx, dy) or 1.0
        nx, ny = -dy / far * thick / 2, dx / far * thick / 2
        left.append((x - nx, y - ny))
        right.append((x + nx, y + ny))
    return (*left, *reversed(right))


class FlowMarks:
    """Turns a shape into marks. `numbers` are those of the materials' inks."""

    def __init__(
        self, shape: Shape, numbers: Mapping[str, int], letters: Mapping[str, str]
    ) -> None:
        self.shape, self.numbers, self.letters = shape, numbers, letters

    def ribbons(self) -> Iterator[Mark]:
        """Forward flows, wide ones below narrow ones."""
        runs = sorted(self.shape.runs, key=lambda run: -run.link.rate)
        for run in runs:
            link = run.link
            outline = run_outline(run, self.shape.thickness(link))
            tip = f"{link.source.name} to {link.target.name}: {short_number(link.rate)} units/s"
            yield Area(outline, f"ribbon{self.numbers[link.material]}", "flows", tooltip=tip)

    def returns(self) -> Iterator[Mark]:
        """Returning flows, over all others, with arrows along their way."""
        for way in self.shape.returns:
            link = way.link
            thick = self.shape.thickness(link)
            line = return_line(way, max(8.0, thick))
            yield Area(band(line, thick + 5), "paper", "returns", "casings")
            tip = f"{link.source.name} back to {link.target.name}: "
            tip += f"{short_number(link.rate)} units/s"
            ink = f"ribbon{self.numbers[link.material]}"
            yield Area(band(line, thick), ink, "returns", "bands", tooltip=tip)
            middle = (way.out_x + way.in_x) / 2
            size = max(9.0, thick + 6)
            yield Symbol((middle, way.lane), "arrow", size, "arrow", "returns", "arrows", angle=180)
            letter = self.letters.get(link.material)
            if letter:
                for x in (middle + 16, way.in_x + 22):
                    yield Text((x, way.lane), letter, 10, "tag", "returns", "letters")

    def letters_on_ribbons(self) -> Iterator[Mark]:
        """The letter of each material where it enters a process, and along long ways."""
        for run in self.shape.runs:
            link = run.link
            letter = self.letters.get(link.material)
            if not letter:
                continue
            for left, right, y in run.levels[1:-1:2]:
                yield Text(((left + right) / 2, y), letter, 10, "tag", "letters", "on the way")
            if link.target.kind == "process":
                _, x, y = run.levels[-1]
                yield Text((x - 10, y), letter, 10, "tag", "letters", "inlets")
        for way in self.shape.returns:
            letter = self.letters.get(way.link.material)
            if letter and way.link.target.kind == "process":
                at = (way.end[0] - 10, way.end[1])
                yield Text(at, letter, 10, "tag", "letters", "inlets")


def stub(x: float, y: float, thick: float, *, spare: bool = False) -> tuple[Point, ...]:
    """What comes in or goes out: a short arrow from `x` to the right; blunt where it is spare."""
    half = max(2.5, thick / 2)
    if spare:
        return rectangle(x, y - half, STUB * 0.6, 2 * half)
    tip = min(8.0, 4 + half)
    end = x + STUB - 2
    return (
        (x, y - half),
        (end - tip, y - half),
        (end, y),
        (end - tip, y + half),
        (x, y + half),
    )
