"""The primed start: a layout as it stands when somebody has filled it with care."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from math import gcd

from loopwright.block.sequence import level_sequence, whole_shares
from loopwright.layout.carried import carried_materials
from loopwright.layout.layout import Belt, Gate, Layout
from loopwright.simulate.clock import layout_tick
from loopwright.simulate.prime_treatment import with_marks
from loopwright.simulate.start import empty_state
from loopwright.simulate.state import Carrier, State, StationState


def primed_state(layout: Layout) -> State:
    """Supply belts full, lanes filled in recipe order, station inputs at their caps.

    Lanes hold full carriers, head first in the order of the gate's pattern, never more of a
    material than the gate's quota. Returns, collectors and output belts are empty. The stations of
    a row are part-way through their cycles, evenly staggered, so that they do not pick in step.
    What has passed applicators is marked, and their tanks are full.
    """
    state = empty_state(layout)
    carried = carried_materials(layout)
    gates = {gate.outlet: gate for gate in layout.gates}
    belts = dict(state.belts)
    turns = dict(state.turns)
    windows = dict(state.windows)
    for belt in layout.belts:
        if belt.role not in ("supply", "lane") or not carried[belt.name]:
            continue
        gate = gates.get(belt.name)
        pattern = _pattern(layout, belt, gate, carried)
        if not pattern:
            continue
        cells = _fill(belt, pattern, dict(gate.quotas) if gate else {})
        belts[belt.name] = cells
        if gate is not None and gate.rule == "ratio-locked" and not gate.main_has_places:
            turns[gate.name] = len(cells) % len(pattern)
        if gate is not None and gate.rule == "windowed":
            passed = [carrier[0] if carrier else None for carrier in reversed(cells)]
            windows[gate.name] = (*windows[gate.name], *passed)[-(gate.window - 1) :]
    return with_marks(
        replace(
            state, belts=belts, turns=turns, windows=windows, stations=_stations(layout, state)
        ),
        layout,
    )


def _pattern(
    layout: Layout, belt: Belt, gate: Gate | None, carried: Mapping[str, tuple[str, ...]]
) -> tuple[Carrier, ...]:
    """Full carriers in the order in which they pass the tail of `belt`, again and again."""
    loads = {source.belt: (source.material, source.load) for source in layout.sources}
    if belt.name in loads:
        return (loads[belt.name],)
    stacks = {material.name: material.stack for material in layout.materials}
    if belt.role == "supply":
        stacks |= {source.material: source.load for source in layout.sources}
    inlets = [one for one in gate.pattern if one != gate.main and carried[one]] if gate else []
    if inlets and all(len(carried[inlet]) == 1 for inlet in inlets):
        firsts = {inlet: carried[inlet][0] for inlet in inlets}
        full = {inlet: (name, stacks[name]) for inlet, name in firsts.items()}
        return tuple(loads.get(inlet, full[inlet]) for inlet in inlets)
    need = {
        name: Fraction(count, stacks[name])
        for recipe in layout.recipes
        for name, count in recipe.inputs
        if name in carried[belt.name]
    }
    return tuple((name, stacks[name]) for name in _level(need))


def _level(need: Mapping[str, Fraction]) -> list[str]:
    names = list(need)
    return [names[index] for index in level_sequence(whole_shares([need[name] for name in names]))]


def _fill(
    belt: Belt, pattern: tuple[Carrier, ...], quotas: Mapping[str, int]
) -> tuple[Carrier | None, ...]:
    """Cells tail first; the first carrier of the pattern is at the head."""
    count = len(belt.path)
    left = dict(quotas)
    cells: list[Carrier | None] = []
    for index in range(count):
        carrier = pattern[index % len(pattern)]
        material = carrier[0]
        if left.get(material, 1) < 1:
            cells.append(None)
            continue
        if material in left:
            left[material] -= 1
        cells.append(carrier)
    return tuple(reversed(cells))


def _stations(layout: Layout, state: State) -> dict[str, StationState]:
    tick = layout_tick(layout)
    cycles = {recipe.name: int(recipe.cycle / tick) for recipe in layout.recipes}
    rows: dict[str, int] = {}
    for station in layout.stations:
        rows[station.row] = rows.get(station.row, 0) + 1
    seen: dict[str, int] = {}
    primed = {}
    for station in layout.stations:
        place = seen.get(station.row, 0)
        seen[station.row] = place + 1
        count = rows[station.row]
        stride = _stride(count)
        phase = place * stride % count
        primed[station.name] = replace(
            state.stations[station.name],
            inputs=dict(station.caps),
            due=1 + cycles[station.recipe] * phase // count,
        )
    return primed


def _stride(count: int) -> int:
    """A step near the golden section that visits all of `count` places: neighbours far apart."""
    return next(step for step in range(int(count * 0.618) or 1, count + 2) if gcd(step, count) == 1)
