"""Marks cut off at the edges of a rectangle, and moved."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise
from math import hypot

from loopwright.drawing.mark import Area, Line, Mark, Point

Window = tuple[float, float, float, float]
"""Left, top, right and bottom [sheet units]."""


def clipped(marks: Iterable[Mark], window: Window) -> Iterator[Mark]:
    """What of `marks` lies in `window`; texts and symbols wholly or not at all, by their place."""
    for mark in marks:
        if isinstance(mark, Line):
            yield from _line_parts(mark, window)
        elif isinstance(mark, Area):
            points = _area_part(mark.points, window)
            if points:
                yield mark if points == mark.points else replace(mark, points=points)
        elif _inside(mark.at, window):
            yield mark


def moved(marks: Iterable[Mark], dx: float, dy: float) -> Iterator[Mark]:
    """`marks` that far to the right and down."""
    for mark in marks:
        if isinstance(mark, Line | Area):
            yield replace(mark, points=tuple((x + dx, y + dy) for x, y in mark.points))
        else:
            yield replace(mark, at=(mark.at[0] + dx, mark.at[1] + dy))


def _inside(point: Point, window: Window) -> bool:
    left, top, right, bottom = window
    return left <= point[0] <= right and top <= point[1] <= bottom


def _segment(one: Point, other: Point, window: Window) -> tuple[float, float] | None:
    """Shares of the way between which a segment is in the window (Liang and Barsky, 1984)."""
    first, last = 0.0, 1.0
    dx, dy = other[0] - one[0], other[1] - one[1]
    left, top, right, bottom = window
    sides = ((-dx, one[0] - left), (dx, right - one[0]), (-dy, one[1] - top), (dy, bottom - one[1]))
    for way, room in sides:
        if way == 0:
            if room < 0:
                return None
        elif way < 0:
            first = max(first, room / way)
        else:
            last = min(last, room / way)
    return (first, last) if first <= last else None


def _line_parts(line: Line, window: Window) -> Iterator[Line]:
    """The stretches in the window. Dashes go on as if nothing were cut off."""
    run: list[Point] = []
    start = travelled = 0.0
    for one, other in pairwise(line.points):
        length = hypot(other[0] - one[0], other[1] - one[1])
        found = _segment(one, other, window)
        if found is not None:
            a, b = (
                (one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share)
                for share in found
            )
            if found[0] > 0 or not run:
                if len(run) > 1:
                    yield _part(line, run, start)
                run, start = [a], travelled + found[0] * length
            run.append(b)
        elif run:
            yield _part(line, run, start)
            run = []
        travelled += length
    if len(run) > 1:
        yield _part(line, run, start)


def _part(line: Line, points: list[Point], start: float) -> Line:
    if tuple(points) == line.points:
        return line
    end = line.end if points[-1] == line.points[-1] else ""
    offset = line.offset + start if line.dash else line.offset
    return replace(line, points=tuple(points), end=end, offset=offset)


def _area_part(points: tuple[Point, ...], window: Window) -> tuple[Point, ...]:
    """The part of an outline in the window, side by side (Sutherland and Hodgman, 1974)."""
    left, top, right, bottom = window
    kept = points
    for axis, limit, sign in ((0, left, 1), (0, right, -1), (1, top, 1), (1, bottom, -1)):
        if all(sign * point[axis] >= sign * limit for point in kept):
            continue
        fresh: list[Point] = []
        for one, other in pairwise((*kept, *kept[:1])):
            here, there = sign * (one[axis] - limit), sign * (other[axis] - limit)
            if here >= 0:
                fresh.append(one)
            if (here < 0) != (there < 0):
                share = here / (here - there)
                fresh.append(
                    (
                        one[0] + (other[0] - one[0]) * share,
                        one[1] + (other[1] - one[1]) * share,
                    )
                )
        kept = tuple(fresh)
    return kept if len(kept) > 2 else ()
