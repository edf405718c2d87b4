"""Layout, Scenario and State -> arrays. Devices are numbered in the natural order of names."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from math import lcm
from typing import Any, get_type_hints

import numpy as np

from loopwright.layout.layout import Divert, Drain, Gate, Merge, Port, Source
from loopwright.simulate import columns as col
from loopwright.simulate.clock import layout_tick, whole_ticks
from loopwright.simulate.columns import Part, allocate
from loopwright.simulate.division import Members, divide
from loopwright.simulate.limit import EngineLimitError, LayoutError
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import State
from loopwright.simulate.wiring import Wiring, inlets_of

CELL_TYPES = (("uint16", 12), ("uint32", 28))
"""Formats of a cell, and the materials that have a bit in each."""

NO_QUOTA = 2**62

JOINT_RULES = {
    "alternate": col.ALTERNATE,
    "priority": col.PRIORITY,
    "open": col.ALTERNATE,
    "ratio-locked": col.RATIO,
    "counted": col.COUNTED,
    "windowed": col.WINDOWED,
    "scarcest-first": col.SCARCEST,
}
DIVERT_RULES = {
    "alternate": col.ALTERNATE,
    "overflow": col.OVERFLOW,
    "material": col.BY_MATERIAL,
}


@dataclass(frozen=True, slots=True)
class Plant:
    """A layout as arrays: one `Part` for each of `members`; `tick` [s]."""

    wiring: Wiring
    tick: Fraction
    members: tuple[Members, ...]
    parts: tuple[Part, ...]

    @property
    def breaks(self) -> tuple[str, ...]:
        """The belts at which rings are broken, in order of names."""
        broken = {name for members in self.members for name in members.breaks}
        return tuple(name for name in self.wiring.belts if name in broken)


def encode(wiring: Wiring, scenario: Scenario, state: State) -> Plant:
    """The arrays of a layout under `scenario`, sized for `state` but not yet filled from it.

    Raises
    ------
    EngineLimitError
        Too many materials on one group of belts, or too many units on a carrier.
    """
    tick = layout_tick(wiring.layout)
    members = tuple(divide(wiring, state))
    parts = tuple(_Encoder(wiring, scenario, state, tick, part).part for part in members)
    return Plant(wiring, tick, members, parts)


def starts(rows: Iterable[Sequence[Any]]) -> list[int]:
    """Where each of `rows` begins when they are put end to end, and where the last one ends."""
    return list(accumulate((len(row) for row in rows), initial=0))


def chained(rows: Iterable[Iterable[Any]]) -> list[Any]:
    """`rows` end to end."""
    return [item for row in rows for item in row]


class _Encoder:
    """Fills the unchanging columns of one part."""

    def __init__(
        self, wiring: Wiring, scenario: Scenario, state: State, tick: Fraction, members: Members
    ) -> None:
        self.wiring, self.scenario, self.state = wiring, scenario, state
        self.tick, self.members = tick, members
        widest = max((len(palette) for palette in members.palettes), default=0)
        fitting = [(cell, bits) for cell, bits in CELL_TYPES if widest <= bits]
        if not fitting:
            raise EngineLimitError(
                f"{widest} materials on one group of belts, {CELL_TYPES[-1][1]} fit"
            )
        self.cell, self.bits = fitting[0]
        self.belt = self._numbers(members.belts)
        self.number = (
            {
                name: index
                for kind in (members.sources, members.drains, members.diverts, members.joints)
                for index, name in enumerate(kind)
            }
            | self._numbers(members.stations)
            | self._numbers(members.stores)
            | self.belt
        )
        self.material = self._numbers(members.materials)
        self.bit = [self._numbers(palette) for palette in members.palettes]

        self.belts = [wiring.belts[name] for name in members.belts]
        self.sources = [wiring.sources[name] for name in members.sources]
        self.joints = [wiring.joints[name] for name in members.joints]
        self.gates = [joint for joint in self.joints if isinstance(joint, Gate)]
        self.diverts = [wiring.diverts[name] for name in members.diverts]
        self.flanks = [wiring.flanks[name] for name in members.flanks]
        self.stations = [wiring.stations[name] for name in members.stations]
        self.recipes = [wiring.recipe[name] for name in members.stations]
        self.stores = [wiring.stores[name] for name in members.stores]
        self.pickers = [wiring.pickers[name] for name in members.pickers]

        self.outages = [self._outages(source) for source in self.sources]
        self.inputs = [self._in_order(recipe.inputs) for recipe in self.recipes]
        self.outputs = [self._in_order(recipe.outputs) for recipe in self.recipes]
        self.recipe_slots = list(dict.fromkeys(self.recipe_inputs(p.target) for p in self.pickers))
        self.part = self._allocate()
        for fill in (
            self._fill_belts,
            self._fill_sources,
            self._fill_joints,
            self._fill_gates,
            self._fill_diverts,
            self._fill_stations,
            self._fill_stores,
            self._fill_pickers,
        ):
            fill()

    @staticmethod
    def _numbers(names: Sequence[str]) -> dict[str, int]:
        return {name: index for index, name in enumerate(names)}

    def _in_order(self, amounts: Iterable[tuple[str, int]]) -> list[tuple[str, int]]:
        return sorted(amounts, key=lambda amount: self.wiring.rank[amount[0]])

    def recipe_inputs(self, target: Port) -> tuple[str, ...]:
        """The inputs of the station that `target` is, in order; none for a belt or store."""
        if target.device not in self.wiring.stations:
            return ()
        return tuple(name for name, _ in self._in_order(self.wiring.recipe[target.device].inputs))

    def palette_bits(self, belt: str) -> dict[str, int]:
        """The bit of each material on `belt`."""
        return self.bit[self.members.palette[self.belt[belt]]]

    def _outages(self, source: Source) -> list[tuple[int, ...]]:
        """Outages of `source` in ticks, in order and without overlap."""
        spans = sorted(
            (
                whole_ticks(outage.start, self.tick),
                whole_ticks(outage.start + outage.span, self.tick),
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

    def _allocate(self) -> Part:
        gates = self.gates
        sizes = {
            "one": 1,
            "belt": len(self.belts),
            "buffer": sum(len(belt.path) for belt in self.belts),
            "palette": len(self.bit),
            "material": len(self.material),
            "bit": self.bits,
            "flank": len(self.flanks),
            "source": len(self.sources),
            "outage": sum(map(len, self.outages)),
            "drain": len(self.members.drains),
            "joint": len(self.joints),
            "inlet": sum(len(inlets_of(joint)) for joint in self.joints),
            "gate": len(gates),
            "place": sum(len(gate.pattern) for gate in gates),
            "action": sum(self.window(gate) for gate in gates),
            "loop": sum(len(set(gate.loop)) for gate in gates),
            "divert": len(self.diverts),
            "outlet": sum(len(divert.outlets) for divert in self.diverts),
            "station": len(self.stations),
            "input": sum(map(len, self.inputs)),
            "output": sum(map(len, self.outputs)),
            "store": len(self.stores),
            "picker": len(self.pickers),
            "row": len(self.recipe_slots),
        }
        groups = [allocate(group, sizes, self.cell) for group in get_type_hints(Part).values()]
        return Part(*groups)

    @staticmethod
    def window(gate: Gate) -> int:
        """Past actions that `gate` looks at."""
        return max(gate.window - 1, 0) if gate.rule == "windowed" else 0

    def whole(self, span: Fraction, device: str) -> int:
        """`span` [s] in ticks, of which it is a multiple."""
        ticks = whole_ticks(span, self.tick)
        if ticks < 1:
            raise LayoutError(f"{device}: a duration of {span} s")
        return ticks

    def _fill_belts(self) -> None:
        belts, flanks, members = self.part.belts, self.part.flanks, self.members
        belts.length[:] = [len(belt.path) for belt in self.belts]
        belts.base[:] = starts(belt.path for belt in self.belts)[:-1]
        belts.step[:] = [self.whole(1 / belt.speed, belt.name) for belt in self.belts]
        belts.order[:] = members.belt_order
        belts.palette[:] = members.palette
        for belt in self.belts:
            number, head, tail = self.belt[belt.name], None, None
            head = self.wiring.head.get(belt.name)
            if isinstance(head, Drain | Divert):
                belts.head[number] = col.HEAD_DRAIN if isinstance(head, Drain) else col.HEAD_DIVERT
                belts.head_at[number] = self.number[head.name]
            tail = self.wiring.tail.get(belt.name)
            if isinstance(tail, Source | Merge | Gate):
                belts.tail[number] = col.TAIL_SOURCE if isinstance(tail, Source) else col.TAIL_JOINT
                belts.tail_at[number] = self.number[tail.name]
        belts.bit[:] = belts.material[:] = -1
        for row, bits in enumerate(self.bit):
            for name, bit in bits.items():
                belts.bit[row, self.material[name]] = bit
                belts.material[row, bit] = self.material[name]
        flanks.inlet[:] = [self.belt[flank.inlet] for flank in self.flanks]
        flanks.cell[:] = [flank.index for flank in self.flanks]
        mains = [self.belt[flank.main] for flank in self.flanks]
        belts.flank_first[:] = np.searchsorted(mains, np.arange(len(self.belts) + 1))

    def _fill_sources(self) -> None:
        sources = self.part.sources
        for row, source in enumerate(self.sources):
            if not 1 <= source.load <= col.COUNT_MASK:
                raise EngineLimitError(f"{source.name}: a load of {source.load}, 1 to 15 fit")
            bit = self.palette_bits(source.belt)[source.material]
            sources.cell[row] = 1 << (bit + col.COUNT_BITS) | source.load
            if source.rate is not None:
                gain = source.rate / self.wiring.belts[source.belt].speed
                one = lcm(gain.denominator, self.state.credits[source.name].denominator)
                sources.one[row], sources.gain[row] = self.fit(source.name, one, gain * one)
        sources.outage_first[:] = starts(self.outages)
        sources.outage_from[:] = [begin for begin, _ in chained(self.outages)]
        sources.outage_to[:] = [end for _, end in chained(self.outages)]

    @staticmethod
    def fit(device: str, *amounts: int | Fraction) -> tuple[int, ...]:
        """`amounts` as whole numbers that are safe to add a few times in 64 bits."""
        if max(amounts) >= 2**60:
            raise EngineLimitError(f"{device}: its fraction is too fine for 64 bits")
        return tuple(int(amount) for amount in amounts)

    def _rule(self, rules: Mapping[str, int], device: Merge | Gate | Divert) -> int:
        if device.rule not in rules:
            raise LayoutError(f"{device.name}: no rule {device.rule}")
        return rules[device.rule]

    def _fill_joints(self) -> None:
        joints = self.part.joints
        rows = [[self.belt[inlet] for inlet in inlets_of(joint)] for joint in self.joints]
        joints.rule[:] = [self._rule(JOINT_RULES, joint) for joint in self.joints]
        joints.first[:] = starts(rows)
        joints.inlet[:] = chained(rows)
        joints.fresh[:] = [len(joint.inlets) for joint in self.joints]
        joints.gate[:] = -1
        joints.gate[len(self.joints) - len(self.gates) :] = range(len(self.gates))

    def _fill_gates(self) -> None:
        gates = self.part.gates
        gates.quota[:], gates.share[:] = NO_QUOTA, 1
        for row, gate in enumerate(self.gates):
            bits = self.palette_bits(gate.outlet)
            for table, amounts in ((gates.quota, gate.quotas), (gates.share, gate.shares)):
                for name, amount in amounts:
                    if name in bits:
                        table[row, bits[name]] = amount
            if gate.rule == "scarcest-first" and gates.share[row].min() < 1:
                raise LayoutError(f"{gate.name}: a share below 1")
            if gate.rule == "ratio-locked" and not gate.pattern:
                raise LayoutError(f"{gate.name}: ratio-locked without a pattern")
            for inlet in gate.pattern:
                if inlet not in gate.inlets:
                    raise LayoutError(f"{gate.name}: {inlet} of the pattern is no inlet")
        gates.pattern_first[:] = starts(gate.pattern for gate in self.gates)
        gates.pattern[:] = chained([g.inlets.index(x) for x in g.pattern] for g in self.gates)
        gates.window_first[:] = starts(range(self.window(gate)) for gate in self.gates)
        loops = [sorted({self.belt[name] for name in gate.loop}) for gate in self.gates]
        gates.loop_first[:] = starts(loops)
        gates.loop[:] = chained(loops)

    def _fill_diverts(self) -> None:
        diverts = self.part.diverts
        rows = [[self.belt[outlet] for outlet in divert.outlets] for divert in self.diverts]
        diverts.rule[:] = [self._rule(DIVERT_RULES, divert) for divert in self.diverts]
        diverts.first[:] = starts(rows)
        diverts.outlet[:] = chained(rows)
        for row, divert in enumerate(self.diverts):
            diverts.filter[row] = len(divert.outlets) - 1
            bits = self.palette_bits(divert.inlet)
            for material, outlet in divert.filters:
                if outlet not in divert.outlets:
                    raise LayoutError(f"{divert.name}: {outlet} of the filters is no outlet")
                if material in bits:
                    diverts.filter[row, bits[material]] = divert.outlets.index(outlet)

    def _fill_stations(self) -> None:
        stations, kept = self.part.stations, self.state.stations
        for row, (station, recipe) in enumerate(zip(self.stations, self.recipes, strict=True)):
            stations.cycle[row] = self.whole(recipe.cycle, station.name)
            stations.outlet_cap[row] = station.outlet_cap
        stations.input_first[:] = starts(self.inputs)
        stations.output_first[:] = starts(self.outputs)
        stations.input_material[:] = [self.material[name] for name, _ in chained(self.inputs)]
        stations.input_need[:] = [need for _, need in chained(self.inputs)]
        caps = [dict(station.caps) for station in self.stations]
        stations.input_room[:] = [
            cap[name] for cap, row in zip(caps, self.inputs, strict=True) for name, _ in row
        ]
        rows = zip(self.stations, self.recipes, self.outputs, strict=True)
        outputs = [(station.name, recipe, *out) for station, recipe, made in rows for out in made]
        for row, (name, recipe, material, count) in enumerate(outputs):
            gain = count * recipe.batch_yield
            one = lcm(gain.denominator, kept[name].kept[material].denominator)
            stations.output_material[row] = self.material[material]
            stations.output_one[row], stations.output_gain[row] = self.fit(name, one, gain * one)
            stations.output_most[row] = -(-gain.numerator // gain.denominator)

    def _fill_stores(self) -> None:
        self.part.stores.room[:] = [store.cap for store in self.stores]

    def _fill_pickers(self) -> None:
        pickers = self.part.pickers
        kinds: tuple[Callable[[str], bool], ...] = (
            self.wiring.belts.__contains__,
            self.wiring.stations.__contains__,
            self.wiring.stores.__contains__,
        )
        for row, inputs in enumerate(self.recipe_slots):
            pickers.slots[row] = -1
            for slot, name in enumerate(inputs):
                if name in self.material:
                    pickers.slots[row, self.material[name]] = slot
        for row, picker in enumerate(self.pickers):
            if picker.habit not in ("commit", "grab"):
                raise LayoutError(f"{picker.name}: no habit {picker.habit}")
            if picker.target.device in self.belt and picker.hand > col.COUNT_MASK:
                raise EngineLimitError(
                    f"{picker.name}: a hand of {picker.hand}, 1 to 15 fit on a belt"
                )
            pickers.swing[row] = self.whole(picker.swing, picker.name)
            pickers.hand[row] = picker.hand
            pickers.grab[row] = picker.habit == "grab"
            pickers.slot[row] = self.recipe_slots.index(self.recipe_inputs(picker.target))
            for port, kind, at, cell in (
                (picker.source, pickers.source, pickers.source_at, pickers.source_cell),
                (picker.target, pickers.target, pickers.target_at, pickers.target_cell),
            ):
                kind[row] = [holds(port.device) for holds in kinds].index(True)
                at[row] = self.number[port.device]
                cell[row] = port.index or 0
        names = sorted(self.members.pickers, key=self.wiring.picker_rank.__getitem__)
        row_of = self._numbers(self.members.pickers)
        pickers.by_name[:] = [row_of[name] for name in names]
