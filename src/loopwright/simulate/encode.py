"""Layout, Scenario and State -> arrays. Devices are numbered in the natural order of names."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import get_type_hints

from loopwright.simulate.allocate import allocate
from loopwright.simulate.clock import cycles_of, layout_tick
from loopwright.simulate.columns import LANES, STRETCH, WORD_BITS, Part
from loopwright.simulate.division import Members, divide
from loopwright.simulate.encode_belts import encode_belts, padded
from loopwright.simulate.encode_chance import Mishaps, encode_chance, encode_supplies
from loopwright.simulate.encode_stations import encode_stations
from loopwright.simulate.encode_treatment import encode_treatment, treatment_sizes
from loopwright.simulate.kernel.engine import Engine
from loopwright.simulate.named import check_named
from loopwright.simulate.numbering import Numbering
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import Counters, State
from loopwright.simulate.wiring import Wiring, inlets_of

WHEEL_MOST = 8192
"""Slots of the wheel of due times at most; what is due later stays in it for several turns."""


@dataclass(frozen=True, slots=True)
class Plant:
    """A layout as arrays: one `Part`, with its engine, for each of `members`; `tick` [s].

    `earlier` holds the counters of the state that the arrays were last filled from.
    """

    wiring: Wiring
    tick: Fraction
    members: tuple[Members, ...]
    engines: tuple[Engine, ...]
    seed: int = 0
    earlier: list[Counters] = field(default_factory=list)

    @property
    def parts(self) -> tuple[Part, ...]:
        """The arrays of each part."""
        return tuple(engine.part for engine in self.engines)

    @property
    def breaks(self) -> tuple[str, ...]:
        """The belts at which rings are broken, in order of names."""
        broken = {name for members in self.members for name in members.breaks}
        return tuple(name for name in self.wiring.belts if name in broken)


def encode(wiring: Wiring, scenario: Scenario, state: State) -> Plant:
    """The arrays of a layout under `scenario`, sized for `state` but not yet filled from it.

    Raises
    ------
    LayoutError
        The devices do not fit each other.
    EngineLimitError
        Too many materials on one group of belts, or too many units on a carrier.
    """
    tick = layout_tick(wiring.layout)
    check_named(wiring, scenario.disturbances)
    members = tuple(divide(wiring, state, scenario.disturbances.foreign))
    parts = tuple(_part(Numbering(wiring, scenario, state, tick, part)) for part in members)
    return Plant(wiring, tick, members, tuple(map(Engine, parts)), scenario.seed)


def _part(names: Numbering) -> Part:
    mishaps = Mishaps(names)
    sizes = _sizes(names) | treatment_sizes(names) | mishaps.sizes
    sizes["actor"] += sizes["breaker"] + 1
    hints = get_type_hints(Part)
    part = Part(**{name: allocate(group, sizes, names.cell) for name, group in hints.items()})
    encode_belts(names, part)
    encode_stations(names, part)
    encode_chance(mishaps, part)
    encode_treatment(names, mishaps, part)
    encode_supplies(mishaps, part)
    return part


def _sizes(names: Numbering) -> dict[str, int]:
    """The extent of every dimension."""
    wiring, pickers = names.wiring, names.pickers
    watched = {picker.source.device for picker in pickers}
    dropped = {picker.target.device for picker in pickers}
    durations = [picker.swing for picker in pickers]
    durations += [cycle for recipe in names.recipes for cycle in cycles_of(recipe)]
    longest = max((names.whole(span, "") for span in durations), default=1)
    counts = {
        "belt": len(names.belts),
        "station": len(names.stations),
        "picker": len(pickers),
        "drop": sum(padded(len(belt.path)) for belt in names.belts if belt.name in dropped),
    }
    return counts | {
        **{f"{kind} word": (count >> WORD_BITS) + 1 for kind, count in counts.items()},
        "one": 1,
        "block": STRETCH // LANES,
        "slot": min(1 << longest.bit_length(), WHEEL_MOST),
        "actor": len(names.stations) + len(pickers),
        "buffer": sum(2 * len(belt.path) + LANES for belt in names.belts),
        "watch": sum(padded(len(belt.path)) for belt in names.belts if belt.name in watched),
        "palette": len(names.bit),
        "material": len(names.kind),
        "bit": names.bits,
        "flank": len(names.flanks),
        "source": len(names.sources),
        "outage": sum(map(len, names.outages)),
        "drain": len(names.members.drains),
        "joint": len(names.joints),
        "inlet": sum(len(inlets_of(joint)) for joint in names.joints),
        "gate": len(names.gates),
        "place": sum(len(gate.pattern) for gate in names.gates),
        "action": sum(names.window(gate) for gate in names.gates),
        "loop": sum(len(gate.loop) for gate in names.gates),
        "divert": len(names.diverts),
        "outlet": sum(len(divert.outlets) for divert in names.diverts),
        "input": sum(map(len, names.inputs)),
        "output": sum(map(len, names.outputs)),
        "store": len(names.stores),
        "feeder": sum(picker.target.device not in wiring.belts for picker in pickers),
        "taste": len(set(names.tastes)),
        "slot of taste": max((len(inputs) for _, inputs in names.tastes), default=0),
    }
