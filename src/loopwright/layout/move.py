"""Moving rows and single devices, as a hand would on the floor."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, TypeVar

from loopwright.grid import Box, Cell
from loopwright.layout.layout import Layout, PowerLink
from loopwright.layout.power.tree import shortest_links

Step = tuple[int, int]
"""Cells to the east and to the south."""

Device = TypeVar("Device")

STILL: Step = (0, 0)


def row_corners(layout: Layout) -> dict[str, Cell]:
    """The north-west corner of each row's stations."""
    boxes: dict[str, Box] = {}
    for station in layout.stations:
        if station.row:
            boxes[station.row] = boxes.get(station.row, station.box).union(station.box)
    return {row: Cell(box.x, box.y) for row, box in boxes.items()}


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


def moved_layout(layout: Layout, rows: Mapping[str, Step], devices: Mapping[str, Step]) -> Layout:
    """`layout` with whole rows and single devices moved.

    A device moves by its own step, else with its row; one of several rows, where all of them move
    alike. Links of power nodes are laid anew where nodes move.
    """
    corners = row_corners(layout)

    def step(name: str) -> Step:
        if name in devices:
            return devices[name]
        steps = {rows.get(row, STILL) for row in rows_of(name, corners)}
        return steps.pop() if len(steps) == 1 else STILL

    def shifted(kind: tuple[Device, ...]) -> tuple[Device, ...]:
        return tuple(_shifted(device, step(device.name)) for device in kind)  # type: ignore[attr-defined]

    moved = replace(
        layout,
        belts=shifted(layout.belts),
        sources=shifted(layout.sources),
        drains=shifted(layout.drains),
        merges=shifted(layout.merges),
        diverts=shifted(layout.diverts),
        gates=shifted(layout.gates),
        stations=shifted(layout.stations),
        stores=shifted(layout.stores),
        pickers=shifted(layout.pickers),
        applicators=shifted(layout.applicators),
        power_nodes=shifted(layout.power_nodes),
    )
    return moved if moved.power_nodes == layout.power_nodes else linked(moved)


def linked(layout: Layout) -> Layout:
    """`layout` with the shortest links of its power nodes, each kind by itself."""
    links: list[PowerLink] = []
    for kind in layout.power_kinds:
        nodes = [node for node in layout.power_nodes if node.kind == kind.name]
        found = shortest_links([node.at for node in nodes], kind.span)
        links += [PowerLink(nodes[one].name, nodes[other].name) for one, other in found]
    return replace(layout, power_links=tuple(links))


def _shifted(device: Device, step: Step) -> Device:
    if step == STILL:
        return device
    thing: Any = device
    dx, dy = step
    if hasattr(thing, "path"):
        path = tuple(Cell(cell.x + dx, cell.y + dy, cell.level) for cell in thing.path)
        moved: Device = replace(thing, path=path)
    elif hasattr(thing, "box"):
        moved = replace(thing, box=thing.box._replace(x=thing.box.x + dx, y=thing.box.y + dy))
    else:
        moved = replace(thing, at=thing.at._replace(x=thing.at.x + dx, y=thing.at.y + dy))
    return moved
