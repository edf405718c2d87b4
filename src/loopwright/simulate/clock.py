"""Integer time: the tick of a layout, and spans in ticks."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from loopwright.exact import common_tick
from loopwright.finding import DesignError, new_finding
from loopwright.layout.layout import Layout, Recipe


def layout_tick(layout: Layout) -> Fraction:
    """The tick [s] of `layout`: belt steps, swings and the cycles that stations run; 1 s if there
    are none."""
    run = {station.recipe for station in layout.stations}
    times = [
        *(1 / belt.speed for belt in layout.belts),
        *(picker.swing for picker in layout.pickers),
        *(cycle for one in layout.recipes if one.name in run for cycle in cycles_of(one)),
    ]
    return common_tick(times) if times else Fraction(1)


def cycles_of(recipe: Recipe) -> tuple[Fraction, ...]:
    """Times of its cycles [s]: of batches without a grade, and of each grade."""
    return (recipe.cycle, *(recipe.cycle / grade.speed for grade in recipe.grades))


FINEST = Fraction(1, 5000)
"""The shortest tick [s] that a run is carried out at."""


def check_tick(layout: Layout) -> None:
    """Hold the tick of `layout` against `FINEST`.

    Raises
    ------
    DesignError
        It is shorter; the finding names the times without any one of which it would do, or would
        at least be longer.
    """
    tick = layout_tick(layout)
    if tick >= FINEST:
        return
    times = {f"belt speed {belt.speed} cells/s": 1 / belt.speed for belt in layout.belts}
    times |= {f"swing {picker.swing} s": picker.swing for picker in layout.pickers}
    run = {station.recipe for station in layout.stations}
    times |= {
        f"cycle {cycle} s": cycle
        for one in layout.recipes
        if one.name in run
        for cycle in cycles_of(one)
    }
    left = {
        name: common_tick([other for other in times.values() if other != time] or [FINEST])
        for name, time in times.items()
    }
    blamed = [name for name, other in left.items() if other >= FINEST]
    blamed = blamed or [name for name, other in left.items() if other > tick]
    named = ", ".join((blamed or list(times))[:5])
    finding = new_finding(
        "LW502",
        f"the times of the devices have no common part longer than {tick} s: {named}",
        value=f"{tick} s",
        allowed=f"{FINEST} s or longer",
        remedy="choose speeds and times that are multiples of a longer time",
    )
    raise DesignError((finding,))


def whole_ticks(span: Fraction, tick: Fraction) -> int:
    """`span` [s] in ticks, rounded up."""
    return ceil(span / tick)
