"""The devices of one part by number."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import TypeVar

from loopwright.grid import Box
from loopwright.layout.layout import Applicator, Gate, Port, Recipe, Source, Station
from loopwright.simulate.clock import whole_ticks
from loopwright.simulate.columns import AT_BELT, AT_STATION, AT_STORE
from loopwright.simulate.division import Members
from loopwright.simulate.kind import Kind
from loopwright.simulate.limit import MOST_KINDS, EngineLimitError, LayoutError
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import State
from loopwright.simulate.wiring import Wiring

CELL_TYPES = (("uint16", 12), ("uint32", MOST_KINDS))
"""Formats of a cell, and the materials that have a bit in each."""

Amounts = tuple[tuple[str, int], ...]
Taste = tuple[int, tuple[str, ...]]
"""The palette that a picker takes from (-1: no belt), and the inputs of its target."""


Name = TypeVar("Name", str, Kind)

NEVER = 2**31 - 1
"""Units that a tank never holds: so the station that it is to the engine never starts a cycle."""


def numbers(names: Sequence[Name]) -> dict[Name, int]:
    """The place of each of `names`."""
    return {name: index for index, name in enumerate(names)}


def _tank(applicator: Applicator) -> Station:
    """An applicator as a station that only takes its agent in."""
    name, caps = applicator.name, ((applicator.agent, applicator.cap),)
    return Station(name, Box(applicator.at.x, applicator.at.y, 1, 1), name, caps, 0)


class Numbering:
    """One part: its devices in lists, and the numbers of their names.

    `cell` is the format of a cell and `bits` how many kinds it can tell apart; `bit` has the bits
    of each palette. Applicators stand behind the stations in `stations` and `recipes`.
    """

    def __init__(
        self, wiring: Wiring, scenario: Scenario, state: State, tick: Fraction, members: Members
    ) -> None:
        """Number the devices of `members`.

        Raises
        ------
        EngineLimitError
            There are too many materials on belts that are joined.
        """
        self.wiring, self.scenario, self.state = wiring, scenario, state
        self.tick, self.members = tick, members
        self.supplies = scenario.disturbances.supplies
        widest = max((len(palette) for palette in members.palettes), default=0)
        fitting = [(cell, bits) for cell, bits in CELL_TYPES if widest <= bits]
        if not fitting:
            raise EngineLimitError(
                f"{widest} materials that meet on joined belts, each mark counted, {MOST_KINDS} fit"
            )
        self.cell, self.bits = fitting[0]
        self.belt = numbers(members.belts)
        self.station = numbers(members.attended)
        self.store = numbers(members.stores)
        self.picker = numbers(members.pickers)
        self.kind = numbers(members.kinds)
        self.bit = [numbers(palette) for palette in members.palettes]

        self.belts = [wiring.belts[name] for name in members.belts]
        self.sources = [wiring.sources[name] for name in members.sources]
        self.joints = [wiring.joints[name] for name in members.joints]
        self.gates = [joint for joint in self.joints if isinstance(joint, Gate)]
        self.diverts = [wiring.diverts[name] for name in members.diverts]
        self.flanks = [wiring.flanks[name] for name in members.flanks]
        self.applicators = [wiring.applicators[name] for name in members.applicators]
        self.stations = [wiring.stations[name] for name in members.stations]
        self.recipes = [wiring.recipe[name] for name in members.stations]
        self.stations += [_tank(one) for one in self.applicators]
        self.recipes += [
            Recipe(one.name, tick, ((one.agent, NEVER),), ()) for one in self.applicators
        ]
        self.stores = [wiring.stores[name] for name in members.stores]
        self.pickers = [wiring.pickers[name] for name in members.pickers]

        self.inputs = [self._in_order(recipe.inputs) for recipe in self.recipes]
        self.outputs = [self._in_order(recipe.outputs) for recipe in self.recipes]
        self.outages = [self._outages(source) for source in self.sources]
        self.tastes = [
            (self._palette(picker.source), self._inputs(picker.target)) for picker in self.pickers
        ]

    def palette_bits(self, belt: str) -> dict[Kind, int]:
        """The bit of each kind on `belt`."""
        return self.bit[self.members.palette[self.belt[belt]]]

    def place(self, port: Port) -> tuple[int, int, int]:
        """Kind of device, its number, and the cell if it is a belt."""
        if port.device in self.belt:
            return AT_BELT, self.belt[port.device], port.index or 0
        if port.device in self.station:
            return AT_STATION, self.station[port.device], 0
        return AT_STORE, self.store[port.device], 0

    def whole(self, span: Fraction, device: str) -> int:
        """`span` [s] in ticks, of which it is a multiple."""
        ticks = whole_ticks(span, self.tick)
        if ticks < 1:
            raise LayoutError(f"{device}: a duration of {span} s")
        return ticks

    def window(self, gate: Gate) -> int:
        """Past actions that `gate` looks at."""
        return max(gate.window - 1, 0) if gate.rule == "windowed" else 0

    def _in_order(self, amounts: Iterable[tuple[str, int]]) -> Amounts:
        return tuple(sorted(amounts, key=lambda amount: self.wiring.rank[amount[0]]))

    def _palette(self, source: Port) -> int:
        return self.members.palette[self.belt[source.device]] if source.device in self.belt else -1

    def _inputs(self, target: Port) -> tuple[str, ...]:
        """What the station or applicator that `target` is takes; none for a belt or store."""
        number = self.station.get(target.device)
        return () if number is None else tuple(name for name, _ in self.inputs[number])

    def _outages(self, source: Source) -> list[tuple[int, ...]]:
        """Outages of `source` in ticks, in order and without overlap."""
        spans = sorted(
            tuple(
                whole_ticks(time, self.tick) for time in (outage.start, outage.start + outage.span)
            )
            for outage in self.scenario.outages
            if outage.source == source.name
        )
        joined: list[tuple[int, ...]] = []
        for begin, end in spans:
            if joined and begin <= joined[-1][1]:
                begin, end = joined[-1][0], max(end, joined.pop()[1])
            joined.append((begin, end))
        return joined
