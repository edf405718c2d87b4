"""The laws of what is left over: carriers that come back, collectors and make-up rows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from loopwright.layout.layout import Gate, Layout, Merge
from loopwright.simulate.wiring import Wiring

HALF = Fraction(1, 2)


def part_returned(load: int, *, whole: bool) -> Fraction:
    """What a carrier of `load` units that comes back round a loop holds, as a share of a full one.

    Each turn takes as much of it as the one before, so those that come back hold anything from
    nearly all to nearly nothing: half on the average. Carriers that are taken whole are full or
    gone, and so are those of one unit.
    """
    return Fraction(1) if whole or load == 1 else HALF


def part_left(load: int, *, whole: bool) -> Fraction:
    """The same of a carrier that is left over after one pass.

    Units are taken one by one, and a carrier that is left over has lost none or more of them, but
    not the last: 1 to `load` are left, each as often, (u + 1) / 2 on the average.
    """
    return Fraction(1) if whole else Fraction(load + 1, 2 * load)


@dataclass(frozen=True, slots=True)
class Leftovers:
    """What the `lanes` of a pass leave over on one collector of `speed` [cells/s].

    `inlets` of them join by side merges. `fill` is what they leave over as a share of the
    collector in full carriers, `carriers` the same in carriers as they are, part-used. `needs` is
    what the make-up row uses of the collector in full carriers, `row` its stations.
    """

    collector: str
    lanes: int
    inlets: int
    speed: Fraction
    fill: Fraction
    carriers: Fraction
    needs: Fraction
    row: tuple[str, ...]

    @property
    def share(self) -> Fraction:
        """The share of full rate that the make-up row gets, as the collector passes carriers."""
        passed = min(Fraction(1), self.carriers)
        return min(Fraction(1), passed * self.fill / self.carriers / self.needs)


def leftovers_of(layout: Layout) -> tuple[Leftovers, ...]:
    """The collectors of `layout` that lanes of passes end in, and what becomes of it."""
    wiring = Wiring(layout)
    return tuple(
        found
        for belt in layout.belts
        if belt.role == "collector" and (found := _collected(wiring, belt.name)) is not None
    )


def _collected(wiring: Wiring, name: str) -> Leftovers | None:
    start, head = wiring.tail.get(name), wiring.head.get(name)
    if not isinstance(start, Merge) or not isinstance(head, Merge):
        return None
    sides = [side.inlet for side in wiring.flanks.values() if side.main == name]
    lanes = (*start.inlets, *sides)
    loads = {s.material: s.load for s in wiring.layout.sources}
    speed = wiring.belts[name].speed
    fill = Fraction(0)
    for lane in lanes:
        mix = _mix(wiring, lane)
        if mix is None:
            return None
        used = _used(wiring, lane, loads)
        fill += sum(
            (max(Fraction(0), share * wiring.belts[lane].speed - used.get(m, Fraction(0)))
             for m, share in mix.items()),
            Fraction(0),
        )  # fmt: skip
    needs = sum(_used(wiring, head.outlet, loads).values(), Fraction(0))
    if not fill or not needs:
        return None
    pickers = [p for p in wiring.pickers.values() if p.source.device in lanes]
    whole = all(picker.takes == "carriers" for picker in pickers)
    stacks = [loads[m] for lane in lanes for m in _mix(wiring, lane) or ()]
    part = part_left(max(stacks), whole=whole)
    row = tuple(p.target.device for p in wiring.pickers.values() if p.source.device == head.outlet)
    return Leftovers(
        name, len(lanes), len(sides), speed, fill / speed, fill / speed / part, needs / speed, row
    )


def _mix(wiring: Wiring, lane: str) -> Mapping[str, Fraction] | None:
    """Shares of the materials on the lane, which a gate mixes by a pattern; None for others."""
    gate = wiring.tail.get(lane)
    if not isinstance(gate, Gate) or gate.rule != "ratio-locked" or gate.main is not None:
        return None
    brings = {s.belt: s.material for s in wiring.layout.sources}
    names = [brings.get(inlet, "") for inlet in gate.pattern]
    return {name: Fraction(names.count(name), len(names)) for name in dict.fromkeys(names)}


def _used(wiring: Wiring, lane: str, loads: Mapping[str, int]) -> dict[str, Fraction]:
    """Full carriers a second of each material that the stations at `lane` use."""
    used: dict[str, Fraction] = {}
    for name in _stations(wiring, lane):
        recipe = wiring.recipe[name]
        for material, units in recipe.inputs:
            rate = Fraction(units) / recipe.cycle / loads.get(material, 1)
            used[material] = used.get(material, Fraction(0)) + rate
    return used


def _stations(wiring: Wiring, lane: str) -> Iterator[str]:
    taken = (p.target.device for p in wiring.pickers.values() if p.source.device == lane)
    yield from dict.fromkeys(name for name in taken if name in wiring.recipe)
