"""From when on a run brings its full rate."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

FULL_BINS = 10
"""Bins over which a rate is averaged to be called full."""

FULL_SHARE = Fraction(99, 100)
"""Share of the target from which on a rate is full."""


def full_rate_bin(units: Sequence[int], width: Fraction, target: Fraction) -> int | None:
    """The first of `FULL_BINS` bins in a row that together bring `FULL_SHARE` of `target`.

    `units` of each bin, `width` [s] of a bin, `target` [units/s]. None where there are none.
    """
    need = target * FULL_SHARE * FULL_BINS * width
    held = 0
    for index, count in enumerate(units):
        held += count
        if index >= FULL_BINS:
            held -= units[index - FULL_BINS]
        if index >= FULL_BINS - 1 and held >= need:
            return index - FULL_BINS + 1
    return None
