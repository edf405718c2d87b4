"""The part of a layout that a loop can touch, cut out so that runs of it are quick."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from loopwright.layout.layout import Layout


def part_of(layout: Layout, belts: Iterable[str]) -> Layout:
    """`layout` without the devices that are not joined to `belts`, however far round."""
    touching: dict[str, set[str]] = {}
    for group in _joined(layout):
        for name in group:
            touching.setdefault(name, set()).update(group)
    near = set(belts)
    open_ends = list(near)
    while open_ends:
        for name in touching.get(open_ends.pop(), ()):
            if name not in near:
                near.add(name)
                open_ends.append(name)
    return replace(
        layout,
        belts=tuple(device for device in layout.belts if device.name in near),
        sources=tuple(device for device in layout.sources if device.belt in near),
        drains=tuple(device for device in layout.drains if device.belt in near),
        merges=tuple(device for device in layout.merges if device.outlet in near),
        side_merges=tuple(device for device in layout.side_merges if device.main in near),
        diverts=tuple(device for device in layout.diverts if device.inlet in near),
        gates=tuple(device for device in layout.gates if device.outlet in near),
        stations=tuple(device for device in layout.stations if device.name in near),
        stores=tuple(device for device in layout.stores if device.name in near),
        pickers=tuple(device for device in layout.pickers if device.source.device in near),
        applicators=tuple(device for device in layout.applicators if device.belt in near),
    )


def _joined(layout: Layout) -> Iterable[tuple[str, ...]]:
    """Names that hang together by one device."""
    for merge in layout.merges:
        yield (*merge.inlets, merge.outlet)
    for side in layout.side_merges:
        yield side.inlet, side.main
    for divert in layout.diverts:
        yield divert.inlet, *divert.outlets
    for gate in layout.gates:
        yield (*gate.inlets, gate.outlet, *gate.loop, *((gate.main,) if gate.main else ()))
    for picker in layout.pickers:
        yield picker.source.device, picker.target.device
    for applicator in layout.applicators:
        yield applicator.name, applicator.belt
