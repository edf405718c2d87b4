"""Findings about pickers that wait for a full hand and never get one."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, gcd

from loopwright.finding import Finding, Place, new_finding
from loopwright.layout.carried import carried_materials
from loopwright.layout.layout import Layout, Picker, Recipe, Station


def check_hands(layout: Layout) -> Iterator[Finding]:
    """Whether what a picker with `takes: hands` takes from, and puts to, can hold a full hand."""
    patient = [picker for picker in layout.pickers if picker.takes == "hands"]
    if not patient:
        return
    recipes = {recipe.name: recipe for recipe in layout.recipes}
    stations = {s.name: (s, recipes[s.recipe]) for s in layout.stations if s.recipe in recipes}
    stores = {store.name: store.cap for store in layout.stores}
    carried = carried_materials(layout)
    loads = {material.name: material.stack for material in layout.materials}
    for dock in layout.sources:
        loads[dock.material] = max(dock.load, loads.get(dock.material, 1))
    for picker in patient:
        source, target = picker.source.device, picker.target.device
        if source in stations:
            most = _most_at_outlet(*stations[source], picker.hand)
        elif source in stores:
            most = stores[source]
        else:
            most = max((loads[name] for name in carried.get(source, ())), default=picker.hand)
        if most < picker.hand:
            yield _never_full(picker, source, most)
        if target in stations:
            room = max((cap for _, cap in stations[target][0].caps), default=picker.hand)
        else:
            room = stores.get(target, picker.hand)
        if room < picker.hand:
            yield _never_full(picker, target, room)


def _most_at_outlet(station: Station, recipe: Recipe, hand: int) -> int:
    """The units of an output that are sure to come together at the outlet before it is full.

    A cycle starts while a batch has room. With batches of `b` and hands of `h` what lies there is
    a multiple of gcd(b, h), or anything where fractions are kept over; so the least with which the
    station stands is the first such above cap - b. A hand that is larger waits for ever.
    """
    most = 0
    for _, count in recipe.outputs:
        batch = count * recipe.batch_yield
        step = gcd(batch.numerator, hand) if batch.denominator == 1 else 1
        most = max(most, ((station.outlet_cap - ceil(batch)) // step + 1) * step)
    return most


def _never_full(picker: Picker, device: str, most: int) -> Finding:
    return new_finding(
        "LW426",
        f"{picker.name} waits for a full hand of {picker.hand}, and {device} holds {most} at most",
        Place(device=picker.name),
        value=f"a hand of {picker.hand}",
        allowed=f"{most} or less",
        remedy="use a smaller hand, or more room there (`outlet_batches`, `batches`)",
    )
