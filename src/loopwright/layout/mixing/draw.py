"""A mixer drawn before the lane or the gate that it feeds."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from loopwright.block.mixer import Mixer
from loopwright.grid import Cell
from loopwright.layout.dock import draw_dock
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Divert, Merge
from loopwright.layout.mixing.floor import OUTLET, Floor, mixer_floor, rows_of
from loopwright.layout.parts import Parts
from loopwright.layout.row import RowPlace, lane_depth

LANE_END = -1
"""The column before a lane's first cell."""

GATE_END = -2
"""The column before a loop's gate."""


def mixer_depth(parts: Parts) -> int:
    """The outermost `v` that the mixer of a row uses: the lane's, or more if it has more rows."""
    lane = lane_depth(parts)
    return lane if parts.mixer is None else max(lane, rows_of(parts.mixer))


def mixer_cells(parts: Parts, *, loop: bool) -> int:
    """Cells west of a lane's first cell that its mixer takes, docks included; 0 without one."""
    return 0 if parts.mixer is None else -_floor(parts.mixer, parts, loop=loop).west


def draw_mixed_lane(draft: Draft, row: RowPlace, parts: Parts, lane: Belt) -> Belt:
    """The mixer of a pass: `lane` begins where the mixed belt does, and is drawn so."""
    return _draw(draft, row, parts, lane, loop=False)


def draw_mixed_supply(draft: Draft, row: RowPlace, parts: Parts) -> Belt:
    """The mixer of a loop: a belt with the mix that ends before the loop's gate."""
    empty = Belt(f"{row.name} supply", (), parts.lane_speed, "supply")
    return _draw(draft, row, parts, empty, loop=True)


def _floor(mixer: Mixer, parts: Parts, *, loop: bool) -> Floor:
    lane = mixer_depth(parts) - lane_depth(parts)
    return mixer_floor(mixer, lane, GATE_END if loop else LANE_END, parts.bridge_span)


def _draw(draft: Draft, row: RowPlace, parts: Parts, last: Belt, *, loop: bool) -> Belt:
    """All of the mixer before `last`, which gets the cells of the outlet before its own."""
    assert parts.mixer is not None
    floor, top = _floor(parts.mixer, parts, loop=loop), mixer_depth(parts)

    def place(cell: Cell) -> Cell:
        return row.frame.cell(cell.x, top - cell.y, cell.level)

    whole = replace(last, path=(*map(place, floor.outlet), *last.path))
    docks = {f"{row.name} supply {material}": material for material in floor.docks}
    for device in floor_devices(floor, row.name, whole, place):
        if device.name not in docks:
            draft.add(device)
            continue
        assert isinstance(device, Belt)
        material = docks[device.name]
        at = place(Cell(floor.west, floor.docks.index(material)))
        draw_dock(draft, row, material, at, device, parts)
    return whole


def floor_devices(
    floor: Floor, row: str, last: Belt, place: Callable[[Cell], Cell]
) -> Iterator[Belt | Merge | Divert]:
    """The belts, merges and diverts of `floor` on the cells that `place` gives, with `row` in
    their names; `last` is the belt that its outlet leads on to."""
    belts = {
        way.name: Belt(f"{row} {way.name}", tuple(map(place, way.path)), last.speed, "supply")
        for way in floor.ways
    }
    belts[OUTLET] = last
    yield from belts.values()
    for joint in floor.merges:
        many, one = tuple(belts[name].name for name in joint.many), belts[joint.one]
        yield Merge(f"{row} {joint.name}", one.path[0], many, one.name, joint.rule)
    for joint in floor.diverts:
        many, one = tuple(belts[name].name for name in joint.many), belts[joint.one]
        yield Divert(f"{row} {joint.name}", one.path[-1], one.name, many, joint.rule)
