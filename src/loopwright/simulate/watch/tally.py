"""Counters of all devices as arrays, in the natural order of names: cheap to keep."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from loopwright.simulate.columns import Array, Part
from loopwright.simulate.division import Members
from loopwright.simulate.encode import Plant
from loopwright.simulate.numbering import numbers
from loopwright.simulate.wiring import inlets_of

STATION = ("busy", "blocked", "ended", "down")
"""Columns of `Tally.stations`."""


@dataclass(frozen=True)
class Tally:
    """Counts up to one tick. `stations` (station, `STATION`) [ticks; cycles], `starved` (station,
    material) [ticks], `sources` (source) [units] put and [carriers] refused, `drains` (drain)
    [units], `picks` (picker). `passed` [carriers] by every inlet and outlet of joints, flanks and
    diverts, in the order of `Clerk.ways`."""

    tick: int
    stations: Array
    starved: Array
    sources: Array
    drains: Array
    picks: Array
    passed: Array


class Clerk:
    """Takes tallies of a plant."""

    def __init__(self, plant: Plant) -> None:
        wiring = plant.wiring
        ways = [
            (name, inlet) for name, joint in wiring.joints.items() for inlet in inlets_of(joint)
        ]
        ways += [(name, flank.inlet) for name, flank in wiring.flanks.items()]
        ways += [(n, outlet) for n, divert in wiring.diverts.items() for outlet in divert.outlets]
        self.ways = {way: number for number, way in enumerate(ways)}
        self._plant = plant
        names: list[Any] = [wiring.stations, wiring.materials, wiring.sources, wiring.drains]
        self._whole = [numbers(tuple(kind)) for kind in (*names, wiring.picker_rank)]
        self._desks = [
            (part, self._desk(members, part))
            for members, part in zip(plant.members, plant.parts, strict=True)
        ]

    def take(self, tick: int) -> Tally:
        """The counters as they are now, at `tick`."""
        stations, materials, sources, drains, pickers = map(len, self._whole)
        tally = Tally(
            tick,
            np.zeros((stations, len(STATION)), np.int64),
            np.zeros((stations, materials), np.int64),
            np.zeros((sources, 2), np.int64),
            np.zeros(drains, np.int64),
            np.zeros(pickers, np.int64),
            np.zeros(len(self.ways), np.int64),
        )
        for part, (station, owner, material, source, load, drain, picker, ways) in self._desks:
            rows = part.stations.rows[: len(station)]  # without the tanks of applicators
            for column, name in enumerate(STATION[:-1]):
                tally.stations[station, column] = rows[name]
            tally.stations[station, len(STATION) - 1] = part.stations.down[: len(station)]
            tally.starved[owner, material] = part.stations.inputs["starved"][: len(owner)]
            tally.sources[source, 0] = part.joints.sources["carriers"] * load
            tally.sources[source, 1] = part.joints.sources["refused"]
            tally.drains[drain] = part.joints.drained_units.sum(axis=1)
            tally.picks[picker] = part.pickers.rows["picks"]
            counts = (part.joints.inlets, part.joints.flanks, part.joints.outlets)
            tally.passed[ways] = np.concatenate([kind["passed"] for kind in counts])
        return tally

    def _desk(self, members: Members, part: Part) -> tuple[Array, ...]:
        """Where what a part counts belongs in the whole."""
        station, material, source, drain, picker = (
            np.array([number[name] for name in kind], np.int64)
            for number, kind in zip(
                self._whole,
                (
                    members.stations,
                    [kind.material for kind in members.kinds],
                    members.sources,
                    members.drains,
                    members.pickers,
                ),
                strict=True,
            )
        )
        rows, wiring = part.stations.rows[: len(station)], self._plant.wiring
        counts = rows["input_last"] - rows["input_first"]
        owner = np.repeat(station, counts)
        load = np.array([wiring.sources[name].load for name in members.sources], np.int64)
        ways = [
            (name, inlet) for name in members.joints for inlet in inlets_of(wiring.joints[name])
        ]
        ways += [(name, wiring.flanks[name].inlet) for name in members.flanks]
        ways += [(name, out) for name in members.diverts for out in wiring.diverts[name].outlets]
        places = np.array([self.ways[way] for way in ways], np.int64)
        inputs = material[part.stations.inputs["material"][: len(owner)]]
        return station, owner, inputs, source, load, drain, picker, places
