"""Numbers for readers: exact where that is short, else rounded."""

from __future__ import annotations

from fractions import Fraction

from loopwright.exact import format_fraction
from loopwright.simulate.reading.text import figure, percent

NONE = "\u2013"
"""What stands where there is no number."""

TIMES = "\u00d7"

SHORT = 99
"""Largest denominator that is written as a fraction."""

__all__ = ["NONE", "TIMES", "amount", "counted", "figure", "percent", "rate", "several"]


def amount(value: Fraction | int) -> str:
    """A planned quantity: "7.5", "71 1/9", or rounded with a sign that says so: "≈ 3.142"."""
    exact = Fraction(value)
    if exact.denominator == 1:
        return counted(exact.numerator)
    if 1000 % exact.denominator == 0 or exact.denominator <= SHORT:
        return format_fraction(exact)
    return f"≈ {figure(exact)}"


def rate(value: Fraction | int, unit: str = "units") -> str:
    """A planned rate with its unit: "71 1/9 units/s"."""
    return f"{amount(value)} {unit}/s"


def counted(number: int) -> str:
    """A whole number, in groups of three digits from 10 000 on."""
    return f"{number:,}".replace(",", "\u202f") if abs(number) >= 10000 else str(number)


def several(number: int, word: str) -> str:
    """A number with its noun: "1 row", "12 rows"."""
    return f"{counted(number)} {word}" if number == 1 else f"{counted(number)} {word}s"
