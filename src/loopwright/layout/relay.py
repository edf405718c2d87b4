"""Belts laid anew where some of what holds them was put elsewhere and the rest was not."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from loopwright.grid import Box, Cell
from loopwright.layout.footprint import Standing, device_cells
from loopwright.layout.layout import Belt, Layout, Port
from loopwright.layout.route.ground import Ground
from loopwright.layout.route.reroute import route_nets
from loopwright.layout.route.search import Net
from loopwright.layout.section.turn import Spot

LONGEST = 4000
"""Cells that a bridge spans in a layout that does not say it."""

SpotOf = Callable[[str], Spot]
"""Where the device of a name was put."""

Places = Mapping[str, Mapping[int, int]]
"""By belt: its cells at which something stood, by index, and their index afterwards."""


@dataclass(frozen=True, slots=True)
class _Torn:
    """A belt, and its stretches that were put elsewhere as one: first and last index, and where."""

    belt: Belt
    runs: tuple[tuple[int, int, Spot], ...]

    def stretches(self) -> Iterator[tuple[Cell, ...]]:
        """The cells of each stretch where it is now."""
        for first, last, spot in self.runs:
            yield tuple(map(spot.cell, self.belt.path[first : last + 1]))

    def nets(self) -> Iterator[Net]:
        """What is to be laid from stretch to stretch."""
        for number, (one, other) in enumerate(pairwise(self.stretches()), start=1):
            yield Net(f"{self.belt.name} ({number})", one[-1], other[0])

    def joined(self, ways: Mapping[str, tuple[Cell, ...]]) -> tuple[Belt, dict[int, int]]:
        """The belt with `ways` between its stretches, and where its cells now are."""
        path: list[Cell] = []
        places: dict[int, int] = {}
        between = [ways[net.name][1:-1] for net in self.nets()]
        for (first, last, _), cells, way in zip(
            self.runs, self.stretches(), (*between, ()), strict=True
        ):
            places |= {index: len(path) + index - first for index in range(first, last + 1)}
            path += [*cells, *way]
        return replace(self.belt, path=tuple(path)), places


def relaid(
    before: Layout, moved: Layout, spot_of: SpotOf, row_spot: SpotOf, kept: Collection[str]
) -> Layout:
    """`moved`, which is `before` with devices put elsewhere: belts go with what holds them, and
    those with ends that were not put elsewhere alike get new ways between these.

    Pickers, applicators and side merges hold a belt where their row was put (`row_spot`), what
    stands at its ends where it was put itself (`spot_of`). Belts in `kept` stay as in `moved`.

    Raises
    ------
    DesignError
        LW422: a belt finds no way.
    """
    held = _held(before, spot_of, row_spot)
    belts = {belt.name: belt for belt in moved.belts}
    torn: list[_Torn] = []
    for belt in before.belts:
        runs = _runs(belt, held[belt.name])
        if len(runs) == 1 and belt.name not in kept:
            belts[belt.name] = runs[0][2].device(belt)  # type: ignore[assignment]
        elif runs and belt.name not in kept:
            torn.append(_Torn(belt, runs))
            del belts[belt.name]
    ground = Ground(Box(0, 0, moved.width, moved.height), moved.bridge_span or LONGEST)
    ground.solid.update(_solid(moved))
    for path in [belt.path for belt in belts.values()]:
        ground.lay(path)
    nets = [net for one in torn for net in one.nets()]
    for one in torn:
        for cells in one.stretches():
            ground.lay(cells)
    for net in nets:
        ground.lift((net.start, net.goal))
    ways = route_nets(ground, nets).paths if nets else {}
    places: dict[str, dict[int, int]] = {}
    for one in torn:
        belts[one.belt.name], places[one.belt.name] = one.joined(ways)
    laid = tuple(belts[belt.name] for belt in moved.belts)
    return _renumbered(replace(moved, belts=laid), places)


def _held(layout: Layout, spot_of: SpotOf, row_spot: SpotOf) -> dict[str, dict[int, set[Spot]]]:
    """By belt and index of its cell, where what holds it there was put."""
    last = {belt.name: len(belt.path) - 1 for belt in layout.belts}
    found: dict[str, dict[int, set[Spot]]] = {name: defaultdict(set) for name in last}

    def hold(belt: str, index: int | None, spot: Spot) -> None:
        if belt in last and index is not None:
            found[belt][index].add(spot)

    for source in layout.sources:
        hold(source.belt, 0, spot_of(source.name))
    for drain in layout.drains:
        hold(drain.belt, last.get(drain.belt), spot_of(drain.name))
    for merge in layout.merges:
        hold(merge.outlet, 0, spot_of(merge.name))
        for inlet in merge.inlets:
            hold(inlet, last.get(inlet), spot_of(merge.name))
    for divert in layout.diverts:
        hold(divert.inlet, last.get(divert.inlet), spot_of(divert.name))
        for outlet in divert.outlets:
            hold(outlet, 0, spot_of(divert.name))
    for gate in layout.gates:
        hold(gate.outlet, 0, spot_of(gate.name))
        for inlet in (*gate.inlets, gate.main or ""):
            hold(inlet, last.get(inlet), spot_of(gate.name))
    for side in layout.side_merges:
        hold(side.main, side.index, row_spot(side.name))
        hold(side.inlet, last.get(side.inlet), row_spot(side.name))
    for picker in layout.pickers:
        for port in (picker.source, picker.target):
            hold(port.device, port.index, row_spot(picker.name))
    for applicator in layout.applicators:
        hold(applicator.belt, applicator.index, row_spot(applicator.name))
    return found


def _runs(belt: Belt, held: Mapping[int, set[Spot]]) -> tuple[tuple[int, int, Spot], ...]:
    """The stretches of a belt that go together, from its first cell to its last; none where nothing
    holds it, or things at one cell go apart."""
    if not held or any(len(spots) > 1 for spots in held.values()):
        return ()
    found: list[tuple[int, int, Spot]] = []
    for index in sorted(held):
        (spot,) = held[index]
        if found and found[-1][2] == spot:
            found[-1] = (found[-1][0], index, spot)
        else:
            found.append((index, index, spot))
    found[0] = (0, *found[0][1:])
    first, _, spot = found[-1]
    found[-1] = (first, len(belt.path) - 1, spot)
    return tuple(found)


def _solid(layout: Layout) -> Iterator[Cell]:
    """Floor cells that no belt passes or crosses."""
    standing: tuple[Standing, ...] = (
        *layout.stations,
        *layout.stores,
        *layout.gates,
        *layout.pickers,
        *layout.sources,
        *layout.drains,
        *layout.applicators,
        *layout.power_nodes,
    )
    for device in standing:
        yield from device_cells(device)
    for box in layout.obstacles:
        yield from box.cells()


def _renumbered(layout: Layout, places: Places) -> Layout:
    """`layout` with the cells of belts that were laid anew by their new numbers."""
    if not places:
        return layout

    def port(old: Port) -> Port:
        known = places.get(old.device)
        return old if known is None or old.index is None else Port(old.device, known[old.index])

    return replace(
        layout,
        pickers=tuple(
            replace(one, source=port(one.source), target=port(one.target)) for one in layout.pickers
        ),
        side_merges=tuple(
            replace(one, index=places[one.main][one.index]) if one.main in places else one
            for one in layout.side_merges
        ),
        applicators=tuple(
            replace(one, index=places[one.belt][one.index]) if one.belt in places else one
            for one in layout.applicators
        ),
    )
