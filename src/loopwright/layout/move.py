"""Moving rows and single devices, as a hand would on the floor."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from loopwright.grid import Box, Cell, Heading
from loopwright.grid.path import heading_between
from loopwright.layout.layout import Layout, PowerLink
from loopwright.layout.power.tree import shortest_links
from loopwright.layout.relay import relaid
from loopwright.layout.section.turn import Spot

Step = tuple[int, int]
"""Cells to the east and to the south."""

Device = TypeVar("Device")

STILL: Step = (0, 0)


def row_corners(layout: Layout) -> dict[str, Cell]:
    """The north-west corner of each row's stations."""
    return {row: Cell(box.x, box.y) for row, box in _row_boxes(layout).items()}


def _row_boxes(layout: Layout) -> dict[str, Box]:
    boxes: dict[str, Box] = {}
    for station in layout.stations:
        if station.row:
            boxes[station.row] = boxes.get(station.row, station.box).union(station.box)
    return boxes


def rows_of(name: str, rows: Mapping[str, object]) -> tuple[str, ...]:
    """The rows with whose names the name of a device begins: "row 1 row 2 output" has two."""
    found: list[str] = []
    rest = name
    while True:
        words = rest.split(" ")
        heads = (" ".join(words[:count]) for count in range(len(words) - 1, 0, -1))
        row = next((head for head in heads if head in rows), None)
        if row is None:
            return tuple(found)
        found.append(row)
        rest = rest[len(row) + 1 :]


def row_headings(layout: Layout) -> dict[str, Heading]:
    """Which way the lane of each row runs past its pickers."""
    paths = {belt.name: belt.path for belt in layout.belts}
    rows = {station.name: station.row for station in layout.stations if station.row}
    found: dict[str, Heading] = {}
    for picker in layout.pickers:
        row, index = rows.get(picker.target.device), picker.source.index
        path = paths.get(picker.source.device, ())
        if row is None or row in found or index is None or len(path) < 2:
            continue
        at = min(index, len(path) - 2)
        heading = heading_between(path[at], path[at + 1])
        if heading is not None:
            found[row] = heading
    return found


def moved_layout(
    layout: Layout,
    rows: Mapping[str, Step],
    devices: Mapping[str, Step],
    turned: Collection[str] = (),
) -> Layout:
    """`layout` with whole rows and single devices moved, and the rows `turned` mirrored where they
    stand, so that what flowed east flows west.

    A device moves by its own step, else with its row; one of several rows, where all of them move
    alike. Belts between what moves and what does not are laid anew, and so are links of power nodes
    where nodes move.

    Raises
    ------
    DesignError
        LW422: a belt finds no way.
    """
    spots = _spots(layout, rows, turned)

    def row_spot(name: str) -> Spot:
        found = {spots.get(row, STAYS) for row in rows_of(name, spots)}
        return found.pop() if len(found) == 1 else STAYS

    def spot_of(name: str) -> Spot:
        return shift(*devices[name]) if name in devices else row_spot(name)

    def put(kind: tuple[Device, ...]) -> tuple[Device, ...]:
        return tuple(spot_of(device.name).device(device) for device in kind)  # type: ignore[attr-defined, misc, arg-type]

    moved = replace(
        layout,
        belts=put(layout.belts),
        sources=put(layout.sources),
        drains=put(layout.drains),
        merges=put(layout.merges),
        diverts=put(layout.diverts),
        gates=put(layout.gates),
        stations=put(layout.stations),
        stores=put(layout.stores),
        pickers=put(layout.pickers),
        applicators=put(layout.applicators),
        power_nodes=put(layout.power_nodes),
    )
    moved = relaid(layout, moved, spot_of, row_spot, devices)
    return moved if moved.power_nodes == layout.power_nodes else linked(moved)


def shift(dx: int, dy: int) -> Spot:
    """Where things go that move by so many cells."""
    return Spot(Cell(dx, dy), 0, mirrored=False)


STAYS = shift(0, 0)


def _spots(layout: Layout, rows: Mapping[str, Step], turned: Collection[str]) -> dict[str, Spot]:
    """Where each row is put. Rows that are turned and joined to each other turn as one."""
    spots = {row: shift(*rows.get(row, STILL)) for row in row_corners(layout)}
    boxes = _row_boxes(layout)
    for group in _companions(layout, [row for row in spots if row in turned]):
        whole = boxes[group[0]]
        for row in group[1:]:
            whole = whole.union(boxes[row])
        for row in group:
            dx, dy = rows.get(row, STILL)
            spots[row] = Spot(Cell(2 * whole.x + whole.width + dx, dy), 0, mirrored=True)
    return spots


def _companions(layout: Layout, rows: Sequence[str]) -> list[list[str]]:
    """`rows` in groups that share a device, or whose belts meet."""
    joined: list[tuple[str, ...]] = [(belt.name,) for belt in layout.belts]
    joined += [(merge.name, *merge.inlets, merge.outlet) for merge in layout.merges]
    joined += [(side.inlet, side.main) for side in layout.side_merges]
    groups = [{row} for row in rows]
    for names in joined:
        held = {row for name in names for row in rows_of(name, dict.fromkeys(rows))}
        if len(held) > 1:
            hit = [group for group in groups if group & held]
            groups = [group for group in groups if not group & held] + [set().union(*hit)]
    return [[row for row in rows if row in group] for group in groups]


def linked(layout: Layout) -> Layout:
    """`layout` with the shortest links of its power nodes, each kind by itself."""
    links: list[PowerLink] = []
    for kind in layout.power_kinds:
        nodes = [node for node in layout.power_nodes if node.kind == kind.name]
        found = shortest_links([node.at for node in nodes], kind.span)
        links += [PowerLink(nodes[one].name, nodes[other].name) for one, other in found]
    return replace(layout, power_links=tuple(links))
