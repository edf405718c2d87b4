"""Belts from section to section, laid over the free ground between them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from loopwright.finding import DesignError, Place, new_finding
from loopwright.grid import Box, Cell, Heading
from loopwright.grid.path import heading_between
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Drain, SideMerge, Source
from loopwright.layout.route.ground import Ground
from loopwright.layout.route.reroute import route_nets
from loopwright.layout.route.search import Net, find_path
from loopwright.layout.section.ways import Start

PLACES = 60
"""Places on the flank of a belt that are tried, the nearest first."""


def join_belts(
    draft: Draft,
    starts: Sequence[Start],
    ends: Mapping[str, tuple[Cell, Heading]],
    joins: Mapping[str, str],
    ground: Ground,
) -> None:
    """Lead each belt that `starts` begin to its end: the cell before the belt of that name, and the
    heading in which it is reached. One without an end ends into the flank of the belt that `joins`
    names for it.

    Raises
    ------
    DesignError
        LW422: a belt finds no way.
    """
    feeders = [start for start in starts if start.to not in ends]
    ground.lay(start.cell for start in feeders)
    nets = [Net(s.to, s.cell, ends[s.to][0], arrive=ends[s.to][1]) for s in starts if s.to in ends]
    ways = route_nets(ground, nets)
    for index, device in enumerate(draft.devices):
        if isinstance(device, Belt) and device.name in ways.paths:
            path = (*ways.paths[device.name], *device.path)
            draft.devices[index] = replace(device, path=path)
            ground.lay(path)
    mains = {device.name: device for device in draft.devices if isinstance(device, Belt)}
    for start in feeders:
        ground.lift([start.cell])
        main = mains[joins[start.to]]
        path, index = _to_flank(start, main, ground)
        ground.lay(path)
        draft.add(
            Belt(start.to, path, main.speed, "supply"),
            SideMerge(f"{start.to} end", start.to, main.name, index),
        )


def _to_flank(start: Start, main: Belt, ground: Ground) -> tuple[tuple[Cell, ...], int]:
    """The way from `start` to the nearest place where a belt can end into the flank of `main`, and
    the index of the cell of `main` there."""
    places = sorted(
        (abs(cell.x - start.cell.x) + abs(cell.y - start.cell.y), index, cell)
        for index, cell in _flanks(main)
        if ground.free(cell)
    )
    for _, index, cell in places[:PLACES]:
        path = find_path(ground, Net(start.to, start.cell, cell))
        if path is not None:
            return path, index
    raise DesignError(
        (new_finding("LW422", f"no way for {start.to} to {main.name}", Place(device=start.to)),)
    )


def _flanks(main: Belt) -> Iterator[tuple[int, Cell]]:
    """Cells beside the straight parts of a belt on the floor, each with the index of the belt's
    cell that it is beside."""
    for index in range(1, len(main.path) - 1):
        before, at, after = main.path[index - 1 : index + 2]
        heading = heading_between(at, after)
        if before.level or at.level or after.level or heading is None:
            continue
        if heading_between(before, at) is heading:
            for side in (heading.left, heading.right):
                yield index, at.step(side)


def free_ground(
    draft: Draft, cores: Iterable[Box], obstacles: Iterable[Box], area: Box, span: int
) -> Ground:
    """Where belts between sections may lie: inside `area`, not through sections or obstacles, not
    over docks or the cell before one."""
    solid = {cell for box in (*cores, *obstacles) for cell in box.cells()}
    belts = {d.name: d for d in draft.devices if isinstance(d, Belt)}
    for device in draft.devices:
        if isinstance(device, Source | Drain):
            solid.add(device.at)
            path = belts[device.belt].path
            heading = heading_between(path[0 if isinstance(device, Source) else -1], device.at)
            if heading is not None:
                solid.add(device.at.step(heading))
    ground = Ground(area, span, solid)
    for belt in belts.values():
        ground.lay(belt.path)
    return ground
