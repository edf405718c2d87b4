"""Integer time: the tick of a layout, and spans in ticks."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil, gcd, lcm

from loopwright.layout.layout import Layout


def common_tick(times: Iterable[Fraction]) -> Fraction:
    """The greatest common divisor of `times` [s]; 1 s if there are none."""
    times = set(times)
    if not times:
        return Fraction(1)
    over = lcm(*(time.denominator for time in times))
    return Fraction(gcd(*(int(time * over) for time in times)), over)


def layout_tick(layout: Layout) -> Fraction:
    """The tick [s] of `layout`: belt steps, swings and the cycles that stations run."""
    cycles = {recipe.name: recipe.cycle for recipe in layout.recipes}
    return common_tick(
        [
            *(1 / belt.speed for belt in layout.belts),
            *(picker.swing for picker in layout.pickers),
            *(cycles[station.recipe] for station in layout.stations),
        ]
    )


def whole_ticks(span: Fraction, tick: Fraction) -> int:
    """`span` [s] in ticks, rounded up."""
    return ceil(span / tick)
