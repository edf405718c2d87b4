"""What a plant looks like at one tick, as arrays in the natural order of the names of devices."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from loopwright.simulate.columns import Array, Part
from loopwright.simulate.division import Members
from loopwright.simulate.encode import Plant
from loopwright.simulate.numbering import numbers

NARROW = 16
"""Materials that fit beside the units into one byte of a cell."""

BUSY, BLOCKED, STARVED, DOWN = 1, 2, 3, 4
"""What a station does: the low three bits of its entry."""


@dataclass(frozen=True)
class View:
    """`cells` of all belts, tail first: material x 16 + units, 0 empty. `stood` [cells] of each
    belt up to its head that stayed where they were at its last step.

    `stations`: busy, blocked, starved or down in the low three bits, and above them, where it is
    starved, the number of the missing material + 1. `pickers`: phase x 64 + material in hand + 1.
    """

    tick: int
    cells: Array
    stood: Array
    stations: Array
    pickers: Array

    def doing(self, what: int) -> int:
        """How many stations are busy, blocked, starved or down."""
        return int(np.count_nonzero((self.stations & 7) == what))


class Lens:
    """Looks at the arrays of a plant; knows where the devices of each part are in the whole."""

    def __init__(self, plant: Plant) -> None:
        wiring = plant.wiring
        self._plant = plant
        lengths = [len(belt.path) for belt in wiring.belts.values()]
        self.firsts: Array = np.concatenate([[0], np.cumsum(lengths, dtype=np.int64)])
        self._kind = np.uint8 if len(wiring.materials) <= NARROW else np.uint16
        self._counts = len(wiring.belts), len(wiring.stations), len(wiring.picker_rank)
        names = (wiring.belts, wiring.stations, wiring.picker_rank, wiring.materials)
        whole = [numbers(tuple(kind)) for kind in names]
        self._parts = [
            (engine, _places(members, whole))
            for members, engine in zip(plant.members, plant.engines, strict=True)
        ]

    def look(self, tick: int) -> View:
        """The plant as it is now, at `tick`."""
        belts, stations, pickers = self._counts
        cells: Array = np.zeros(int(self.firsts[-1]), self._kind)
        stood: Array = np.zeros(belts, np.uint16)
        doing: Array = np.zeros(stations, np.uint8)
        hands: Array = np.zeros(pickers, np.uint8)
        for engine, (belt, station, picker, material) in self._parts:
            engine.view_belts(self.firsts[belt], material, cells, belt, stood)
            engine.view_stations(station, material, doing)
            engine.view_pickers(picker, material, hands)
        return View(tick, cells, stood, doing, hands)

    def moves(self) -> Array:
        """Of each part: picks, cycles begun, carriers put by sources and taken by drains."""
        return np.array([_moves(engine.part) for engine, _ in self._parts], np.int64)

    def running(self) -> Array:
        """Of each part: stations in a cycle."""
        return np.array(
            [np.count_nonzero(engine.part.stations.rows["due"] >= 0) for engine, _ in self._parts],
            np.int64,
        )


def _places(members: Members, whole: list[dict[str, int]]) -> tuple[Array, ...]:
    """Where the belts, stations, pickers and materials of a part are among all."""
    materials = [kind.material for kind in members.kinds]
    kinds = (members.belts, members.stations, members.pickers, materials)
    return tuple(
        np.array([number[name] for name in kind], np.int64)
        for kind, number in zip(kinds, whole, strict=True)
    )


def _moves(part: Part) -> int:
    counts = (
        part.pickers.rows["picks"],
        part.stations.rows["started"],
        part.joints.sources["carriers"],
        part.joints.drained,
    )
    return sum(int(count.sum()) for count in counts)
