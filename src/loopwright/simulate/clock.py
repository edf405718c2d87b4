"""Integer time: the tick of a layout, and spans in ticks."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from loopwright.exact import common_tick
from loopwright.layout.layout import Layout


def layout_tick(layout: Layout) -> Fraction:
    """The tick [s] of `layout`: belt steps, swings and the cycles that stations run; 1 s if there
    are none."""
    cycles = {recipe.name: recipe.cycle for recipe in layout.recipes}
    times = [
        *(1 / belt.speed for belt in layout.belts),
        *(picker.swing for picker in layout.pickers),
        *(cycles[station.recipe] for station in layout.stations),
    ]
    return common_tick(times) if times else Fraction(1)


def whole_ticks(span: Fraction, tick: Fraction) -> int:
    """`span` [s] in ticks, rounded up."""
    return ceil(span / tick)
