"""Numbers in sentences: exact where that is short, else rounded and said to be."""

from __future__ import annotations

from fractions import Fraction

from loopwright.exact import format_fraction, format_rate

LONGEST = 16
"""Characters of a number; what is longer is rounded."""


def amount_text(value: Fraction) -> str:
    """A number such as "71 1/9" or "about 773.215"."""
    text = format_fraction(value)
    return text if len(text) <= LONGEST else f"about {format_fraction(_rounded(value))}"


def rate_text(value: Fraction) -> str:
    """A rate [units/s] such as "7.5/s" or "about 0.547/s"."""
    text = format_rate(value)
    return text if len(text) <= LONGEST else f"about {format_rate(_rounded(value))}"


def _rounded(value: Fraction) -> Fraction:
    return Fraction(round(value * 1000), 1000)
