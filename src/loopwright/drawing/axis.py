"""Axes of charts: round numbers, and the words beside them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor, isfinite, log10

from loopwright.drawing.mark import Line, Mark, Text


def round_steps(low: float, high: float, most: int = 6) -> list[float]:
    """At most about `most` round numbers from `low` or below to `high` or above."""
    span = high - low
    if not (isfinite(span) and span > 0):
        return [low, low + 1]
    power = 10.0 ** floor(log10(span / most))
    step = next(unit * power for unit in (1, 2, 5, 10) if span / (unit * power) <= most)
    first, last = floor(low / step + 1e-9), -floor(-high / step + 1e-9)
    return [index * step for index in range(first, last + 1)]


def short_number(value: float) -> str:
    """A number with four figures at most, without needless zeros."""
    text = f"{value:.4g}"
    return text if "e" not in text else f"{value:.0f}" if abs(value) >= 1 else text


@dataclass(frozen=True, slots=True)
class Frame:
    """The field of a chart [px], and the numbers at its edges."""

    left: float
    top: float
    right: float
    bottom: float
    xs: tuple[float, ...]
    ys: tuple[float, ...]

    def x(self, value: float) -> float:
        """Where a number of the horizontal axis lies [px]."""
        share = (value - self.xs[0]) / (self.xs[-1] - self.xs[0])
        return self.left + (self.right - self.left) * share

    def y(self, value: float) -> float:
        """Where a number of the vertical axis lies [px]."""
        share = (value - self.ys[0]) / (self.ys[-1] - self.ys[0])
        return self.bottom - (self.bottom - self.top) * share

    def marks(self, x_words: str, y_words: str) -> Iterator[Mark]:
        """Grid, axes, numbers and the words for both axes."""
        for value in self.ys:
            y = self.y(value)
            yield Line(((self.left, y), (self.right, y)), "grid", "grid")
            at = (self.left - 8, y)
            yield Text(at, short_number(value), 12, "small", "axes", "numbers", anchor="end")
        for value in self.xs:
            x = self.x(value)
            yield Line(((x, self.bottom), (x, self.bottom + 4)), "soft-line", "axes")
            at = (x, self.bottom + 14)
            yield Text(at, short_number(value), 12, "small", "axes", "numbers")
        corner = (self.left, self.bottom)
        yield Line(((self.left, self.top), corner, (self.right, self.bottom)), "frame", "axes")
        at = (self.right, self.bottom + 32)
        yield Text(at, x_words, 12, "small", "axes", "words", anchor="end")
        at = (self.left - 44, self.top - 16)
        yield Text(at, y_words, 12, "small", "axes", "words", anchor="start")
