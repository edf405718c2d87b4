"""Ratios of two and more materials."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations_with_replacement
from math import gcd

Ratio = tuple[int, ...]


def reduced_ratios(materials: range, most: int) -> Iterator[Ratio]:
    """All ratios in lowest terms, falling, whose shares add up to at most `most`."""
    for count in materials:
        for shares in combinations_with_replacement(range(most, 0, -1), count):
            if sum(shares) <= most and gcd(*shares) == 1:
                yield shares


def named(shares: Ratio) -> dict[str, int]:
    """The shares of A, B, C, ..."""
    return dict(zip("ABCDEF", shares, strict=False))
