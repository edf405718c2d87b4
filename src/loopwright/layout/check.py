"""Findings about a layout: whether everything stands free, joins up and reaches."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from loopwright.finding import Finding, Place, new_finding
from loopwright.grid import Box, Cell
from loopwright.grid.path import heading_between, is_connected
from loopwright.layout.applicator import check_applicators
from loopwright.layout.footprint import footprints
from loopwright.layout.hand import check_hands
from loopwright.layout.layout import Belt, Layout, Picker, Port
from loopwright.layout.power.check import check_power
from loopwright.layout.route.check import check_bridges
from loopwright.layout.treatment.marks import check_marks


def check_layout(layout: Layout) -> tuple[Finding, ...]:
    """All findings about `layout`. With an error it can be neither built nor simulated."""
    checks = (
        _names,
        _overlaps,
        _belts,
        check_bridges,
        _doors,
        _joints,
        _tails_and_heads,
        _gates,
        _pickers,
        check_hands,
        check_applicators,
        check_marks,
        check_power,
    )
    return tuple(chain.from_iterable(check(layout) for check in checks))


def _error(code: str, device: str, message: str, remedy: str) -> Finding:
    return new_finding(code, message, Place(device=device), remedy=remedy)


def _names(layout: Layout) -> Iterator[Finding]:
    seen: set[str] = set()
    for device in all_devices(layout):
        if device in seen:
            yield _error("LW403", device, f"two devices are called {device}", "rename one of them")
        seen.add(device)


def all_devices(layout: Layout) -> Iterator[str]:
    """The names of all devices."""
    kinds = (
        layout.belts,
        layout.sources,
        layout.drains,
        layout.merges,
        layout.side_merges,
        layout.diverts,
        layout.gates,
        layout.stations,
        layout.stores,
        layout.pickers,
        layout.applicators,
        layout.power_nodes,
    )
    for kind in kinds:
        for device in kind:
            yield device.name


def _overlaps(layout: Layout) -> Iterator[Finding]:
    taken: dict[Cell, str] = {}
    site = Box(0, 0, layout.width, layout.height)
    for name, cell in footprints(layout):
        if not site.holds(cell):
            yield _error(
                "LW404", name, f"{name} stands off the site at {cell.x},{cell.y}", "move it in"
            )
        if taken.get(cell, name) != name or (cell in taken and name != "an obstacle"):
            yield _error(
                "LW405",
                name,
                f"{name} and {taken[cell]} both stand at {cell.x},{cell.y} level {cell.level}",
                "move one of them",
            )
        taken[cell] = name


def _belts(layout: Layout) -> Iterator[Finding]:
    for belt in layout.belts:
        if not belt.path or not is_connected(belt.path):
            yield _error(
                "LW406", belt.name, f"{belt.name} has a break in its path", "join its cells"
            )
        elif belt.path[0].level or belt.path[-1].level:
            yield _error(
                "LW407",
                belt.name,
                f"{belt.name} begins or ends one level up",
                "let bridges begin and end on the floor",
            )


def _doors(layout: Layout) -> Iterator[Finding]:
    """Before each dock a cell is free of what has a box, so that somebody can come to it."""
    belts = {belt.name: belt for belt in layout.belts if belt.path}
    boxes = [(d.name, d.box) for d in layout.stations]
    boxes += [(d.name, d.box) for d in layout.stores] + [(d.name, d.box) for d in layout.gates]
    walls = dict.fromkeys((cell for box in layout.obstacles for cell in box.cells()), "an obstacle")
    walls |= {cell: name for name, box in boxes for cell in box.cells()}
    ends = [(dock.name, dock.at, dock.belt, 0) for dock in layout.sources]
    ends += [(dock.name, dock.at, dock.belt, -1) for dock in layout.drains]
    for name, at, belt, index in ends:
        heading = heading_between(belts[belt].path[index], at) if belt in belts else None
        door = None if heading is None else at.step(heading)
        if door is not None and door in walls:
            yield _error(
                "LW424",
                name,
                f"{walls[door]} stands at {door.x},{door.y}, before {name}",
                "keep that cell free",
            )


def _joints(layout: Layout) -> Iterator[Finding]:
    """Heads and tails that meet in merges, side merges and diverts are neighbours."""
    belts = {belt.name: belt for belt in layout.belts}
    for merge in layout.merges:
        for inlet in merge.inlets:
            yield from _meet(merge.name, belts.get(inlet), belts.get(merge.outlet), 0)
    for side in layout.side_merges:
        yield from _meet(side.name, belts.get(side.inlet), belts.get(side.main), side.index)
    for divert in layout.diverts:
        for outlet in divert.outlets:
            yield from _meet(divert.name, belts.get(divert.inlet), belts.get(outlet), 0)


def _meet(
    name: str, upstream: Belt | None, downstream: Belt | None, index: int
) -> Iterator[Finding]:
    if upstream is None or downstream is None or index >= len(downstream.path):
        yield _error("LW408", name, f"{name} joins a belt that is not there", "name belts that are")
    elif heading_between(upstream.path[-1], downstream.path[index]) is None:
        yield _error(
            "LW409",
            name,
            f"the head of {upstream.name} is no neighbour of {downstream.name} at {name}",
            "let the two belts meet",
        )


def _tails_and_heads(layout: Layout) -> Iterator[Finding]:
    """Each tail is fed by one thing at most, each head leads to exactly one."""
    feeds: dict[str, list[str]] = {belt.name: [] for belt in layout.belts}
    leads: dict[str, list[str]] = {belt.name: [] for belt in layout.belts}
    for source in layout.sources:
        feeds.setdefault(source.belt, []).append(source.name)
    for drain in layout.drains:
        leads.setdefault(drain.belt, []).append(drain.name)
    for merge in layout.merges:
        feeds.setdefault(merge.outlet, []).append(merge.name)
        for inlet in merge.inlets:
            leads.setdefault(inlet, []).append(merge.name)
    for side in layout.side_merges:
        leads.setdefault(side.inlet, []).append(side.name)
    for divert in layout.diverts:
        leads.setdefault(divert.inlet, []).append(divert.name)
        for outlet in divert.outlets:
            feeds.setdefault(outlet, []).append(divert.name)
    for gate in layout.gates:
        feeds.setdefault(gate.outlet, []).append(gate.name)
        for inlet in (*gate.inlets, *([gate.main] if gate.main else [])):
            leads.setdefault(inlet, []).append(gate.name)
    for belt, found in feeds.items():
        if len(found) > 1:
            yield _error(
                "LW410", belt, f"{belt} is fed by {' and '.join(found)}", "join them by a merge"
            )
    for belt, found in leads.items():
        if len(found) > 1:
            yield _error(
                "LW411", belt, f"{belt} ends at {' and '.join(found)}", "split it by a divert"
            )


def _gates(layout: Layout) -> Iterator[Finding]:
    """Every belt of a gate ends or begins beside its bar."""
    belts = {belt.name: belt for belt in layout.belts}
    for gate in layout.gates:
        ends = [(name, -1) for name in (*gate.inlets, *([gate.main] if gate.main else []))]
        for name, index in (*ends, (gate.outlet, 0)):
            belt = belts.get(name)
            if belt is None or not _beside(belt.path[index], gate.box):
                yield _error(
                    "LW412", gate.name, f"{name} does not meet the bar of {gate.name}", "join them"
                )


def _beside(cell: Cell, box: Box) -> bool:
    grown = (
        Box(box.x - 1, box.y, box.width + 2, box.height),
        Box(box.x, box.y - 1, box.width, box.height + 2),
    )
    return cell.level == 0 and any(area.holds(cell) for area in grown) and not box.holds(cell)


def _pickers(layout: Layout) -> Iterator[Finding]:
    """A picker stands in line with what it takes from and what it puts to, beside its target."""
    belts = {belt.name: belt for belt in layout.belts}
    boxes = {station.name: station.box for station in layout.stations}
    boxes |= {store.name: store.box for store in layout.stores}
    tanks = {one.name: Box(one.at.x, one.at.y, 1, 1) for one in layout.applicators}
    for picker in layout.pickers:
        target = picker.at.step(picker.facing)
        if not any(
            _port_at(picker.source, picker.at.step(picker.facing.reverse, reach), belts, boxes)
            for reach in (1, 2, 3)
        ):
            yield _out_of_reach(picker, picker.source)
        if not _port_at(picker.target, target, belts, boxes | tanks):
            yield _out_of_reach(picker, picker.target)


def _port_at(port: Port, cell: Cell, belts: dict[str, Belt], boxes: dict[str, Box]) -> bool:
    if port.device in boxes:
        return boxes[port.device].holds(cell)
    belt = belts.get(port.device)
    if belt is None or port.index is None or not 0 <= port.index < len(belt.path):
        return False
    return belt.path[port.index] == cell


def _out_of_reach(picker: Picker, port: Port) -> Finding:
    return _error(
        "LW413",
        picker.name,
        f"{picker.name} does not reach {port.device}",
        "move the picker into line, or give it a longer reach",
    )
