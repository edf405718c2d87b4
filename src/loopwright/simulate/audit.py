"""The program checking itself: no unit is lost, and none comes from nowhere."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from loopwright.layout.layout import Recipe
from loopwright.simulate.state import State, StationCount
from loopwright.simulate.wiring import Wiring


class BalanceError(AssertionError):
    """A run lost units or made some up: a fault of this program."""


def held_units(wiring: Wiring, state: State) -> Counter[str]:
    """Units of each material on belts, in hands, stations, stores and tanks."""
    units: Counter[str] = Counter()
    for cells in state.belts.values():
        for cell in cells:
            if cell is not None:
                units[cell[0]] += cell[1]
    for station in state.stations.values():
        units.update(station.inputs)
        units.update(station.outlet)
    for picker in state.pickers.values():
        if picker.material is not None:
            units[picker.material] += picker.count
    for store in state.stores.values():
        units.update(store)
    for name, applicator in state.applicators.items():
        units[wiring.applicators[name].agent] += applicator.held
    return units


def audit(wiring: Wiring, start: State, end: State) -> None:
    """Hold what came in and went out between `start` and `end` against what is held.

    Raises
    ------
    BalanceError
        Some material does not balance.
    """
    gained: dict[str, Fraction] = {name: Fraction(0) for name in wiring.materials}
    for name, source in wiring.sources.items():
        put = end.counters.sources[name].units - start.counters.sources[name].units
        gained[source.material] += put
    for way, before_, after_ in (
        (1, start.counters.put, end.counters.put),
        (-1, start.counters.removed, end.counters.removed),
    ):
        for material, units in after_.items():
            gained[material] += way * (units - before_.get(material, 0))
    for name, drain in end.counters.drains.items():
        for material, units in drain.units.items():
            gained[material] -= units - start.counters.drains[name].units.get(material, 0)
    for name, recipe in wiring.recipe.items():
        before, after = start.counters.stations[name], end.counters.stations[name]
        for material, need in recipe.inputs:
            gained[material] -= need * (after.started - before.started)
        for material, count in recipe.outputs:
            batches = batches_ended(recipe, before, after)
            made = count * recipe.batch_yield * batches
            kept = end.stations[name].kept[material] - start.stations[name].kept[material]
            gained[material] += made - kept
    for name, one in wiring.applicators.items():
        was, now = start.counters.applicators[name], end.counters.applicators[name]
        gained[one.agent] -= now.spent - was.spent
        left = end.applicators[name].left - start.applicators[name].left
        if now.spent - was.spent != one.dose * (now.units - was.units) + left:
            raise BalanceError(f"{name}: agent opened is not agent used")
    first, last = held_units(wiring, start), held_units(wiring, end)
    broken = [
        f"{name}: {first[name]} at the start, {gain} gained, {last[name]} held at the end"
        for name, gain in gained.items()
        if first[name] + gain != last[name]
    ]
    if broken:
        raise BalanceError("; ".join(broken))


def batches_ended(recipe: Recipe, before: StationCount, after: StationCount) -> Fraction:
    """Cycles ended, each by the factor of its grade on the yield."""
    graded = [
        now - was
        for was, now in zip(before.graded or (0,) * len(after.graded), after.graded, strict=True)
    ]
    plain = Fraction(after.ended - before.ended - sum(graded))
    factors = (grade.batch_yield for grade in recipe.grades)
    return plain + sum(factor * count for factor, count in zip(factors, graded, strict=True))
