"""Whether a loop stands for good: an exact test of one state, not a long wait."""

from __future__ import annotations

from collections.abc import Mapping

from loopwright.layout.layout import Layout, Picker
from loopwright.prove.ring import Drawer, Ring
from loopwright.simulate.state import State, StationState


def is_stuck(layout: Layout, ring: Ring, state: State) -> bool:
    """Whether no station of the loop can ever start a cycle again, whatever the docks supply.

    True only where that is certain: every station is idle and lacks an input, and either all its
    pickers hold what it has no room for, or nothing on the loop is of use to it and nothing more
    can enter.
    """
    pickers: dict[str, list[Picker]] = {drawer.station: [] for drawer in ring.drawers}
    for picker in layout.pickers:
        if picker.target.device in pickers:
            pickers[picker.target.device].append(picker)
    open_stations = []
    for drawer in ring.drawers:
        station = state.stations[drawer.station]
        if station.due is not None or not _lacking(drawer, station):
            return False
        if not all(_holds_for_ever(one, state, drawer) for one in pickers[drawer.station]):
            open_stations.append(drawer)
    if not open_stations:
        return bool(ring.drawers)
    if ring.sorting is not None and not _row_stands(layout, ring, state):
        return False
    if ring.sorting is None and not _closed(ring, state):
        return False
    return all(
        _waits_for_ever(ring, one, drawer, state)
        for drawer in open_stations
        for one in pickers[drawer.station]
    )


def _lacking(drawer: Drawer, station: StationState) -> bool:
    return any(station.inputs[need.material] < need.amount for need in drawer.needs)


def _room(drawer: Drawer, station: StationState) -> Mapping[str, int]:
    """Room [units] by input, with no commit hand on its way."""
    return {need.material: need.cap - station.inputs[need.material] for need in drawer.needs}


def _holds_for_ever(picker: Picker, state: State, drawer: Drawer) -> bool:
    hand = state.pickers[picker.name]
    if hand.phase != "holding" or hand.material is None:
        return False
    return _room(drawer, state.stations[drawer.station]).get(hand.material, 0) <= 0


def _closed(ring: Ring, state: State) -> bool:
    """Whether nothing more can enter while nothing is picked."""
    cells = [cell for belt in ring.belts for cell in state.belts[belt]]
    carriers = [cell[0] for cell in cells if cell is not None]
    if ring.kind == "dead end":
        return len(carriers) == ring.cells
    if ring.kind != "loop" or ring.speed is None or ring.strangers or ring.exits or ring.waste:
        return False
    if len(carriers) >= ring.cells - 1:
        return True
    if ring.rule not in ("counted", "scarcest-first") or not ring.counted:
        return False
    return all(
        quota is not None and carriers.count(material) >= quota for material, quota in ring.quotas
    )


def _row_stands(layout: Layout, ring: Ring, state: State) -> bool:
    """Whether the row of a sorted loop is full, and so are the siding and the feed before which it
    waits: the gate has no room for the feed, and so it stays unless something is picked."""
    if ring.strangers or ring.exits:
        return False
    assert ring.sorting is not None
    ahead = {merge_inlet: m.outlet for m in layout.merges for merge_inlet in m.inlets}
    sorts = {divert.inlet: divert for divert in layout.diverts}
    feeds = {siding.feed for siding in ring.sorting.sidings}
    belt = ring.belts[0]
    while True:
        cells = state.belts[belt]
        head = cells[-1]
        if head is None or None in cells:
            return False
        if belt in feeds:
            return True
        divert = sorts.get(belt)
        if divert is None:
            belt = ahead[belt]
        else:
            belt = dict(divert.filters).get(head[0], divert.outlets[-1])


def _waits_for_ever(ring: Ring, picker: Picker, drawer: Drawer, state: State) -> bool:
    """Whether `picker` takes nothing more, the belts going round (or standing) as they are."""
    if _holds_for_ever(picker, state, drawer):
        return True
    if picker.source.device not in ring.belts or state.pickers[picker.name].phase != "idle":
        return False
    if any(tap.picker == picker.name and tap.seam for tap in ring.taps):
        return True
    belts = ring.belts
    cells = [cell for belt in belts for cell in state.belts[belt]]
    if ring.sorting is not None and picker.source.device != belts[0]:
        return False
    if ring.kind == "dead end" or ring.sorting is not None:
        cells = [state.belts[picker.source.device][picker.source.index or 0]]
    seen = {cell for cell in cells if cell is not None}
    room = _room(drawer, state.stations[drawer.station])
    return not any(_takes(picker, room, *carrier) for carrier in seen)


def _takes(picker: Picker, room: Mapping[str, int], material: str, units: int) -> bool:
    """Whether `picker` takes something off a carrier of `units` of `material`."""
    if material not in room:
        return False
    most = min(picker.hand, units)
    if picker.habit == "commit":
        most = min(most, room[material])
    wanted = {"carriers": units, "hands": picker.hand}.get(picker.takes, 1)
    return most >= wanted
