"""What stands in a layout, counted by kind, with figures from the catalogue."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from loopwright.block import Block
from loopwright.exact import format_fraction
from loopwright.layout.layout import Applicator, Belt, Layout, Picker
from loopwright.layout.route.bridge import bridges_of
from loopwright.model import Project


@dataclass(frozen=True, slots=True)
class Part:
    """Devices of one kind; `effort` and `power` [kW] of one, None where the catalogue has none."""

    kind: str
    item: str
    count: int
    unit: str
    effort: Fraction | None
    power: Fraction | None


def list_parts(project: Project, block: Block, layout: Layout) -> tuple[Part, ...]:
    """Everything that stands in `layout`, counted, with figures from the catalogue."""
    return tuple(
        part
        for part in (
            *_stations(project, layout),
            *_belts(project, block, layout),
            *_pickers(project, block, layout),
            *_applicators(project, layout),
            *_junctions(project, layout),
            *_docks(layout),
            *_power(project, layout),
        )
        if part.count
    )


def total_effort(parts: Iterable[Part]) -> Fraction:
    """What all of `parts` cost the host simulation, as far as the catalogue says."""
    return sum((part.count * part.effort for part in parts if part.effort), Fraction(0))


def total_power(parts: Iterable[Part]) -> Fraction:
    """Power [kW] of all of `parts`, as far as the catalogue says."""
    return sum((part.count * part.power for part in parts if part.power), Fraction(0))


def _stations(project: Project, layout: Layout) -> Iterator[Part]:
    for recipe, count in Counter(station.recipe for station in layout.stations).items():
        process = project.processes.get(recipe)
        if process is None:
            yield Part("Station", recipe, count, "pieces", None, None)
            continue
        kind = project.equipment.stations[process.station]
        item = f"{kind.title} for {process.title}"
        yield Part("Station", item, count, "pieces", kind.effort, kind.power)
    if layout.stores:
        yield Part("Store", "buffer box", len(layout.stores), "pieces", None, None)


def _belts(project: Project, block: Block, layout: Layout) -> Iterator[Part]:
    kinds = project.equipment.belts
    cells: Counter[tuple[str | None, Fraction, str]] = Counter()
    for belt in layout.belts:
        cells[_belt_kind(project, block, belt), belt.speed, belt.role] += len(belt.path)
    for (key, speed, role), count in cells.items():
        kind = kinds[key] if key else None
        item = f"{kind.title if kind else f'{format_fraction(speed)} cells/s'}: {role}"
        effort, power = (kind.effort, kind.power) if kind else (None, None)
        yield Part("Belt", item, count, "cells", effort, power)


def _belt_kind(project: Project, block: Block, belt: Belt) -> str | None:
    """The kind in the catalogue that runs as `belt` does, those of the block first."""
    kinds = project.equipment.belts
    own = block.output_belt if belt.role == "output" else block.belt
    for key in (own, *kinds):
        if key in kinds and kinds[key].speed == belt.speed:
            return key
    return None


def _pickers(project: Project, block: Block, layout: Layout) -> Iterator[Part]:
    kinds = project.equipment.pickers
    stations = {station.name for station in layout.stations}
    counts: Counter[tuple[str | None, str, str]] = Counter()
    for picker in layout.pickers:
        outlet = picker.source.device in stations
        key = _picker_kind(project, block.output_picker if outlet else block.picker, picker)
        face = f"swing {format_fraction(picker.swing)} s, hand {picker.hand}"
        counts[key, face, "outlet" if outlet else "inlet"] += 1
    for (key, face, place), count in counts.items():
        kind = kinds[key] if key else None
        item = f"{kind.title if kind else face}: {place}"
        effort, power = (kind.effort, kind.power) if kind else (None, None)
        yield Part("Picker", item, count, "pieces", effort, power)


def _picker_kind(project: Project, own: str, picker: Picker) -> str | None:
    """The kind in the catalogue that works as `picker` does, the block's own first."""
    kinds = project.equipment.pickers
    looks = (picker.swing, picker.hand, picker.habit, picker.takes)
    for key in (own, *kinds):
        kind = kinds.get(key)
        if kind and (kind.swing, kind.hand, kind.habit, kind.takes) == looks:
            return key
    return None


def _applicators(project: Project, layout: Layout) -> Iterator[Part]:
    treatments = project.equipment.treatments
    counts = Counter((_treatment(project, one), one.agent, one.power) for one in layout.applicators)
    titles = {entry.name: entry.title for entry in layout.materials}
    for (key, agent, power), count in counts.items():
        kind = treatments[key] if key else None
        item = (kind.title or str(key)) if kind else f"of {titles[agent]}"
        yield Part("Applicator", item, count, "pieces", kind.effort if kind else None, power)


def _treatment(project: Project, applicator: Applicator) -> str | None:
    """The treatment in the catalogue that `applicator` carries out."""
    does = (applicator.agent, applicator.dose, applicator.rate, applicator.power)
    for key, kind in project.equipment.treatments.items():
        if (kind.agent, kind.dose, kind.rate, kind.power) == does:
            return key
    return None


def _junctions(project: Project, layout: Layout) -> Iterator[Part]:
    junctions = project.equipment.junctions
    merge, divert = junctions.merge, junctions.divert
    gate, bridge = junctions.gate, junctions.bridge
    joints = sum(len(one.inlets) == 1 for one in layout.merges)
    merges = len(layout.merges) - joints
    yield Part("Junction", "merge", merges, "pieces", merge.effort, merge.power)
    sides = len(layout.side_merges)
    yield Part("Junction", "side merge", sides, "pieces", merge.effort, merge.power)
    yield Part("Junction", "plain joint of two belts", joints, "pieces", None, None)
    yield Part("Junction", "divert", len(layout.diverts), "pieces", divert.effort, divert.power)
    yield Part("Junction", "gate", len(layout.gates), "pieces", gate.effort, gate.power)
    bridges = sum(len(bridges_of(belt.path)) for belt in layout.belts)
    yield Part("Junction", "bridge", bridges, "pieces", bridge.effort, bridge.power)


def _docks(layout: Layout) -> Iterator[Part]:
    for material, count in Counter(source.material for source in layout.sources).items():
        titles = {entry.name: entry.title for entry in layout.materials}
        yield Part("Dock", f"supply of {titles[material]}", count, "pieces", None, None)
    for purpose, count in Counter(drain.purpose for drain in layout.drains).items():
        yield Part("Dock", f"for {purpose}", count, "pieces", None, None)


def _power(project: Project, layout: Layout) -> Iterator[Part]:
    titles = {kind.name: kind.title for kind in layout.power_kinds}
    for key, count in Counter(node.kind for node in layout.power_nodes).items():
        kind = project.equipment.power_nodes.get(key)
        effort = kind.effort if kind else None
        yield Part("Power", titles.get(key, key), count, "pieces", effort, None)
    yield Part("Power", "link between two nodes", len(layout.power_links), "pieces", None, None)
