"""Trunks that would run through an obstacle: laid round it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from loopwright.grid import Box, Cell
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Drain, Gate, Picker, Source, Station, Store
from loopwright.layout.route.ground import Ground
from loopwright.layout.route.reroute import route_nets
from loopwright.layout.route.search import Net


def go_round(
    draft: Draft, running: Collection[str], obstacles: Sequence[Box], site: Box, span: int
) -> None:
    """Lay those belts of `running` anew that stand on `obstacles`.

    Only what runs along the channel is laid anew: from a belt's tail to its last cell beyond the
    last obstacle in its way.

    Raises
    ------
    DesignError
        LW422: a belt has no way round.
    """
    solid = {cell for box in obstacles for cell in box.cells()}
    hit = [
        device
        for device in draft.devices
        if isinstance(device, Belt) and device.name in running and solid & set(device.path)
    ]
    if not hit:
        return
    ground = Ground(site, span, solid | _solid(draft))
    cut: dict[str, int] = {}
    for device in draft.devices:
        if isinstance(device, Belt):
            if device in hit:
                column = device.path[0].x
                cut[device.name] = sum(cell.x == column for cell in device.path) - 1
                ground.lay(device.path[cut[device.name] + 1 :])
            else:
                ground.lay(device.path)
    nets = [Net(belt.name, belt.path[0], belt.path[cut[belt.name]]) for belt in hit]
    ways = route_nets(ground, nets)
    for belt in hit:
        path = (*ways.paths[belt.name], *belt.path[cut[belt.name] + 1 :])
        draft.devices[draft.devices.index(belt)] = replace(belt, path=path)


def _solid(draft: Draft) -> set[Cell]:
    """Floor cells of all that no belt passes or crosses."""
    cells: set[Cell] = set()
    for device in draft.devices:
        if isinstance(device, Station | Store | Gate):
            cells.update(device.box.cells())
        elif isinstance(device, Picker | Source | Drain):
            cells.add(device.at.at_level(0))
    return cells
