"""Which materials each belt can carry."""

from __future__ import annotations

from collections import defaultdict

from loopwright.layout.layout import Divert, Gate, Layout


def divert_ways(divert: Divert) -> list[tuple[str, str, frozenset[str] | None, bool]]:
    """(from, to, materials, keep): with keep only those materials pass, else all but those."""
    if divert.rule != "material" or not divert.outlets:
        return [(divert.inlet, outlet, None, True) for outlet in divert.outlets]
    ways: list[tuple[str, str, frozenset[str] | None, bool]] = []
    for material, outlet in divert.filters:
        ways.append((divert.inlet, outlet, frozenset((material,)), True))
    named = frozenset(material for material, _ in divert.filters)
    ways.append((divert.inlet, divert.outlets[-1], named, False))
    return ways


def gate_inlets(gate: Gate) -> list[str]:
    """The belts from which a gate lets carriers in."""
    fresh = set(gate.pattern) if gate.rule == "ratio-locked" else set(gate.inlets)
    inlets = [inlet for inlet in gate.inlets if inlet in fresh]
    return inlets if gate.main is None or gate.main in inlets else [*inlets, gate.main]


def carried_materials(layout: Layout) -> dict[str, tuple[str, ...]]:
    """Materials that can come onto each belt and store, in the order of `layout.materials`.

    Sources and the outlets of stations are followed through merges, side merges, diverts, gates,
    pickers and stores until nothing new turns up.
    """
    outputs = {recipe.name: [name for name, _ in recipe.outputs] for recipe in layout.recipes}
    made = {station.name: outputs.get(station.recipe, []) for station in layout.stations}
    held: dict[str, set[str]] = {belt.name: set() for belt in layout.belts}
    held.update({store.name: set() for store in layout.stores})
    ways: dict[str, list[tuple[str, frozenset[str] | None, bool]]] = defaultdict(list)

    def join(one: str, other: str, only: frozenset[str] | None = None, keep: bool = True) -> None:
        if one in held and other in held:
            ways[one].append((other, only, keep))

    for source in layout.sources:
        held.setdefault(source.belt, set()).add(source.material)
    for merge in layout.merges:
        for inlet in merge.inlets:
            join(inlet, merge.outlet)
    for side in layout.side_merges:
        join(side.inlet, side.main)
    for gate in layout.gates:
        for inlet in gate_inlets(gate):
            join(inlet, gate.outlet)
    for divert in layout.diverts:
        for one, other, only, keep in divert_ways(divert):
            join(one, other, only, keep)
    for picker in layout.pickers:
        if picker.source.device in made:
            held.get(picker.target.device, set()).update(made[picker.source.device])
        join(picker.source.device, picker.target.device)

    open_ends = [name for name in held if held[name]]
    while open_ends:
        one = open_ends.pop()
        for other, only, keep in ways[one]:
            passed = held[one] if only is None else {m for m in held[one] if (m in only) == keep}
            if not passed <= held[other]:
                held[other] |= passed
                open_ends.append(other)
    order = [material.name for material in layout.materials]
    return {name: tuple(m for m in order if m in found) for name, found in held.items()}
