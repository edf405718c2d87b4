"""What is looked at again and again in a run: at the end of every whole bin of its scenario."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from loopwright.simulate import columns as col
from loopwright.simulate.columns import Array
from loopwright.simulate.division import Members
from loopwright.simulate.encode import Plant
from loopwright.simulate.kernel.engine import Engine

PLACES = ("belts", "hands", "stations", "stores")
"""Where units can be; rows of `Samples.stock`."""


@dataclass(frozen=True)
class Samples:
    """Sample i is of the end of bin i; arrays are by the names in the tuples, in their order.

    `carriers` (sample, belt, material) on each belt; `stock` (sample, place, material) [units] by
    `PLACES`; `working` and `waiting` (sample, station) [ticks] busy, and blocked or starved, up to
    then; `moves` (sample) counts picks, cycles begun and carriers put and taken up to then, and
    `running` (sample) the stations in a cycle. `occupied` (cell, material) counts the samples in
    which a carrier of the material was on the cell, `occupied_warm` those of the warm-up; cells are
    those of all belts in order, tail first.
    """

    belts: tuple[str, ...]
    lengths: tuple[int, ...]
    materials: tuple[str, ...]
    stations: tuple[str, ...]
    carriers: Array
    stock: Array
    working: Array
    waiting: Array
    moves: Array
    running: Array
    occupied: Array
    occupied_warm: Array

    def __len__(self) -> int:
        return len(self.moves)

    def cells_of(self, belt: str) -> slice:
        """The rows of `occupied` that are of `belt`."""
        at = self.belts.index(belt)
        first = sum(self.lengths[:at])
        return slice(first, first + self.lengths[at])


ARRAYS = tuple(field.name for field in fields(Samples) if field.type == "Array")
"""Fields of `Samples` that are arrays."""


class Sampler:
    """Takes samples of a plant; goes on from those of an earlier part of the run."""

    def __init__(self, plant: Plant, past: Samples | None = None) -> None:
        wiring = plant.wiring
        self._plant = plant
        self.belts = tuple(wiring.belts)
        self.materials = tuple(wiring.materials)
        self.stations = tuple(wiring.stations)
        self._lengths = tuple(len(belt.path) for belt in wiring.belts.values())
        self._starts = np.concatenate([[0], np.cumsum(self._lengths, dtype=np.int64)])
        self._eyes = [
            _Eye(self, members, engine)
            for members, engine in zip(plant.members, plant.engines, strict=True)
        ]
        cells = int(self._starts[-1])
        shape = (cells, len(self.materials))
        self._taken: list[tuple[Any, ...]] = []
        self._occupied: Array = np.zeros(shape, np.int32)
        self._warm: Array = np.zeros(shape, np.int32)
        if past is not None:
            self._taken = list(
                zip(
                    past.carriers,
                    past.stock,
                    past.working,
                    past.waiting,
                    past.moves,
                    past.running,
                    strict=True,
                )
            )
            self._occupied = past.occupied.copy()
            self._warm = past.occupied_warm.copy()

    def first_cell(self, belt: int) -> int:
        """The tail cell of belt number `belt` among the cells of all belts."""
        return int(self._starts[belt])

    def take(self) -> None:
        """Look at the plant as it is now."""
        carriers = np.zeros((len(self.belts), len(self.materials)), np.int32)
        stock = np.zeros((len(PLACES), len(self.materials)), np.int64)
        working = np.zeros(len(self.stations), np.int64)
        waiting = np.zeros(len(self.stations), np.int64)
        moves = running = 0
        for eye in self._eyes:
            eye.look_at_belts(carriers, stock[0], self._occupied)
            eye.look_at_boxes(stock, working, waiting)
            moves += eye.moves()
            running += eye.running()
        taken = (carriers, stock, working, waiting, np.int64(moves), np.int64(running))
        self._taken.append(taken)

    def mark_warm(self) -> None:
        """What was seen on the cells so far is of the warm-up."""
        self._warm = self._occupied.copy()

    def take_warm(self, other: Sampler) -> None:
        """What `other` saw on the cells is of the warm-up."""
        self._warm = other._occupied.copy()

    def samples(self) -> Samples:
        """All samples."""
        counts = (len(self.belts), len(self.materials), len(self.stations))
        belts, materials, stations = counts
        shapes = ((belts, materials), (len(PLACES), materials), (stations,), (stations,), (), ())
        kinds = (np.int32, *[np.int64] * 5)
        columns: list[Any] = list(zip(*self._taken, strict=True)) or [()] * len(shapes)
        arrays: list[Any] = [
            np.array(column, kind).reshape(len(column), *shape)
            for column, kind, shape in zip(columns, kinds, shapes, strict=True)
        ]
        found = Samples(
            self.belts,
            self._lengths,
            self.materials,
            self.stations,
            *(*arrays, self._occupied.copy(), self._warm.copy()),
        )
        for name in ARRAYS:
            getattr(found, name).setflags(write=False)
        return found

    def quiet(self, bins: int) -> bool:
        """Whether nothing moved in the last `bins` bins, and no station runs a cycle now."""
        if len(self._taken) <= bins:
            return False
        now, then = self._taken[-1], self._taken[-1 - bins]
        return bool(now[4] == then[4] and now[5] == 0)


class _Eye:
    """Looks at one part; knows where its belts, materials and stations are in the whole."""

    def __init__(self, whole: Sampler, members: Members, engine: Engine) -> None:
        self._engine = engine
        self._part = part = engine.part
        belt = {name: index for index, name in enumerate(whole.belts)}
        material = {name: index for index, name in enumerate(whole.materials)}
        station = {name: index for index, name in enumerate(whole.stations)}
        self._belts = np.array([belt[name] for name in members.belts], np.int64)
        self._firsts = np.array([whole.first_cell(at) for at in self._belts], np.int64)
        self._stations = [station[name] for name in members.stations]
        self._materials = np.array([material[kind.material] for kind in members.kinds], np.int64)
        # views of plain arrays, whose fields are quickly at hand
        self._rows, self._inputs, self._outputs, self._pickers, self._sources = (
            rows.view(np.ndarray)
            for rows in (
                part.stations.rows,
                part.stations.inputs,
                part.stations.outputs,
                part.pickers.rows,
                part.joints.sources,
            )
        )

    def look_at_belts(self, carriers: Array, units: Array, occupied: Array) -> None:
        """Add carriers by belt, units on belts, and what is on each cell."""
        places = (self._belts, self._firsts, self._materials)
        self._engine.count_cells(*places, carriers, units, occupied)

    def look_at_boxes(self, stock: Array, working: Array, waiting: Array) -> None:
        """Add units in hands, stations and stores, and the time of the stations."""
        rows, inputs, pickers = self._rows, self._inputs, self._pickers
        _, hands, boxes, stores = stock
        for held in (inputs, self._outputs):
            self._add(boxes, held["material"], held["held"])
        full = pickers["phase"] != col.IDLE
        self._add(hands, pickers["material"], pickers["units"] * full)
        np.add.at(stores, self._materials, self._part.stations.held.sum(axis=0))
        before = np.concatenate([[0], np.cumsum(inputs["starved"])])
        rows = rows[: len(self._stations)]  # without the tanks of applicators
        starved = before[rows["input_last"]] - before[rows["input_first"]]
        working[self._stations] = rows["busy"]
        waiting[self._stations] = rows["blocked"] + starved

    def _add(self, stock: Array, materials: Array, units: Array) -> None:
        """Add `units` of `materials`, numbered as in the part."""
        counts = np.bincount(materials, units, len(self._materials))
        np.add.at(stock, self._materials, counts.astype(np.int64))

    def moves(self) -> int:
        """Picks, cycles begun, carriers put by sources and taken by drains."""
        counts = (
            self._pickers["picks"],
            self._rows["started"],
            self._sources["carriers"],
            self._part.joints.drained,
        )
        return sum(int(count.sum()) for count in counts)

    def running(self) -> int:
        """Stations in a cycle."""
        return int((self._rows["due"] >= 0).sum())
