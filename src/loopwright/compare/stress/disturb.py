"""What a case does to a layout and to the state that it is in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from loopwright.compare.stress.case import FOREIGN, JITTER, LATE, REMOVED, Case
from loopwright.layout.carried import carried_materials
from loopwright.layout.layout import Layout, Source
from loopwright.prove.part import part_of
from loopwright.prove.ring import Ring
from loopwright.prove.rings import find_rings
from loopwright.simulate.clock import layout_tick
from loopwright.simulate.disturbance import Disturbances, Foreign, Law, Missed, Pace, Removal
from loopwright.simulate.state import Carrier, State


def mishaps(layout: Layout, state: State, case: Case) -> Disturbances:
    """What goes wrong in `case` from `state` on; nothing for other kinds than late pickers, uneven
    cycles, a foreign carrier on each loop and a carrier taken off each loop."""
    now = (state.tick + 1) * layout_tick(layout)
    if case.kind == LATE:
        return Disturbances(missed=tuple(Missed(p.name, case.share) for p in layout.pickers))
    if case.kind == JITTER:
        law = Law("uniform", case.share)
        return Disturbances(paces=tuple(Pace(one.name, law) for one in layout.stations))
    rings = [ring for ring in find_rings(layout) if ring.kind in ("loop", "sorted loop")]
    if case.kind == FOREIGN:
        found = (next(_places(ring, state, None), (ring.name, 0)) for ring in rings)
        return Disturbances(
            foreign=tuple(Foreign(belt, index, case.material, 1, now) for belt, index in found)
        )
    if case.kind == REMOVED:
        held = (next(_places(ring, state, case.material), None) for ring in rings)
        return Disturbances(removals=tuple(Removal(*at, now) for at in held if at is not None))
    return Disturbances()


def _places(ring: Ring, state: State, material: str | None) -> Iterator[tuple[str, int]]:
    """Cells of `ring` with a carrier of `material`, or free ones, downstream from the gate."""
    for belt in ring.belts:
        for index, cell in enumerate(state.belts[belt]):
            if (cell and cell[0]) == material:
                yield belt, index


def with_shortage(layout: Layout, material: str, share: Fraction) -> Layout:
    """`layout` with docks of `material` that bring only `share` of what stations use of it.

    Docks that feed the same stations share the use evenly.
    """
    rates = {
        source.name: rate * share
        for source in layout.sources
        if source.material == material and (rate := _rate(layout, source))
    }
    sources = tuple(
        replace(source, rate=rates[source.name]) if source.name in rates else source
        for source in layout.sources
    )
    return replace(layout, sources=sources)


def _rate(layout: Layout, source: Source) -> Fraction:
    """Carriers a second that one dock has to bring."""
    part = part_of(layout, (source.belt,))
    recipes = {recipe.name: recipe for recipe in part.recipes}
    counts = Counter(station.recipe for station in part.stations)
    use = sum(
        (
            Fraction(count * dict(recipes[name].inputs).get(source.material, 0))
            / recipes[name].cycle
            for name, count in counts.items()
        ),
        Fraction(0),
    )
    docks = sum(1 for one in part.sources if one.material == source.material)
    return use / docks / source.load


def one_material(layout: Layout, state: State, material: str) -> State:
    """`state` with nothing but `material` on each lane behind a gate that can bring it: every cell
    full, up to the gate's quota."""
    stacks = {one.name: one.stack for one in layout.materials}
    carried = carried_materials(layout)
    belts: dict[str, tuple[Carrier | None, ...]] = dict(state.belts)
    windows = dict(state.windows)
    for gate in layout.gates:
        if gate.main is None or not any(material in carried[inlet] for inlet in gate.inlets):
            continue
        cells = len(state.belts[gate.outlet])
        counted = gate.rule not in ("open", "ratio-locked")
        most = dict(gate.quotas).get(material, cells) if counted else cells
        free = cells - min(cells, most)
        carrier = (material, stacks[material])
        belts[gate.outlet] = (*(None,) * free, *(carrier,) * (cells - free))
        if gate.name in windows:
            length = len(windows[gate.name])
            passed = (*(None,) * length, *(material,) * (cells - free), *(None,) * free)
            windows[gate.name] = passed[-length:] if length else ()
    return replace(state, belts=belts, windows=windows)
