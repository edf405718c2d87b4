"""Arrays -> State: everything under its name again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any, TypeVar

from loopwright.layout.layout import Gate
from loopwright.simulate import columns as col
from loopwright.simulate.columns import Array, Part
from loopwright.simulate.division import Members
from loopwright.simulate.encode import Plant
from loopwright.simulate.fill import PHASES
from loopwright.simulate.state import (
    Carrier,
    Counters,
    DrainCount,
    JointCount,
    PickerState,
    SourceCount,
    State,
    StationCount,
    StationState,
)

Value = TypeVar("Value")


def decode(plant: Plant, tick: int) -> State:
    """The state that the arrays of `plant` hold at `tick`."""
    wiring = plant.wiring
    belts: dict[str, tuple[Carrier | None, ...]] = {}
    stations: dict[str, StationState] = {}
    pickers: dict[str, PickerState] = {}
    stores: dict[str, Mapping[str, int]] = {}
    turns: dict[str, int] = {}
    windows: dict[str, tuple[str | None, ...]] = {}
    credits: dict[str, Fraction] = {}
    for members, part in zip(plant.members, plant.parts, strict=True):
        belts |= _belts(members, part)
        stations |= _stations(members, part)
        pickers |= _pickers(members, part)
        stores |= {
            name: _counts(members.materials, part.stores.held[row])
            for row, name in enumerate(members.stores)
        }
        turns |= _by_name(members.joints, part.joints.turn)
        turns |= _by_name(members.diverts, part.diverts.turn)
        windows |= _windows(plant, members, part)
        credits |= {
            name: Fraction(int(part.sources.credit[row]), int(part.sources.one[row]))
            for row, name in enumerate(members.sources)
            if part.sources.one[row]
        }
    return State(
        tick=tick,
        belts=_arranged(wiring.belts, belts),
        stations=_arranged(wiring.stations, stations),
        pickers=_arranged(wiring.picker_rank, pickers),
        stores=_arranged(wiring.stores, stores),
        turns=turns,
        windows=windows,
        credits=credits,
        counters=decode_counters(plant),
    )


def decode_counters(plant: Plant) -> Counters:
    """The counters that the arrays of `plant` hold."""
    wiring = plant.wiring
    sources: dict[str, SourceCount] = {}
    drains: dict[str, DrainCount] = {}
    joints: dict[str, JointCount] = {}
    diverts: dict[str, tuple[int, ...]] = {}
    stations: dict[str, StationCount] = {}
    picks: dict[str, int] = {}
    for members, part in zip(plant.members, plant.parts, strict=True):
        for row, name in enumerate(members.sources):
            carriers = int(part.sources.carriers[row])
            units = carriers * wiring.sources[name].load
            sources[name] = SourceCount(carriers, units, int(part.sources.refused[row]))
        drains |= _drains(plant, members, part)
        for row, name in enumerate(members.joints):
            passed = part.joints.passed[part.joints.first[row] : part.joints.first[row + 1]]
            joints[name] = JointCount(int(part.joints.offered[row]), tuple(passed.tolist()))
        for row, name in enumerate(members.flanks):
            joints[name] = JointCount(
                int(part.flanks.offered[row]), (int(part.flanks.passed[row]),)
            )
        for row, name in enumerate(members.diverts):
            out = part.diverts.passed[part.diverts.first[row] : part.diverts.first[row + 1]]
            diverts[name] = tuple(out.tolist())
        stations |= _station_counts(members, part)
        picks |= _by_name(members.pickers, part.pickers.picks)
    return Counters(
        sources=_arranged(wiring.sources, sources),
        drains=_arranged(wiring.drains, drains),
        joints=joints,
        diverts=_arranged(wiring.diverts, diverts),
        stations=_arranged(wiring.stations, stations),
        picks=_arranged(wiring.picker_rank, picks),
    )


def _arranged(names: Iterable[str], found: dict[str, Value]) -> dict[str, Value]:
    """`found` in the order of `names`."""
    return {name: found[name] for name in names}


def _by_name(names: Iterable[str], values: Array) -> dict[str, Any]:
    return dict(zip(names, values.tolist(), strict=True))


def _counts(names: Iterable[str], values: Array) -> dict[str, int]:
    """`values` by name, without those that are 0."""
    return {name: int(value) for name, value in zip(names, values, strict=False) if value}


def _belts(members: Members, part: Part) -> dict[str, tuple[Carrier | None, ...]]:
    found = {}
    for row, name in enumerate(members.belts):
        first = part.belts.base[row]
        palette = members.palettes[members.palette[row]]
        found[name] = tuple(
            (palette[(code >> col.COUNT_BITS).bit_length() - 1], code & col.COUNT_MASK)
            if code
            else None
            for code in part.belts.cells[first : first + part.belts.length[row]].tolist()
        )
    return found


def _drains(plant: Plant, members: Members, part: Part) -> dict[str, DrainCount]:
    palettes = dict(zip(members.belts, members.palette, strict=True))
    found = {}
    for row, name in enumerate(members.drains):
        palette = members.palettes[palettes[plant.wiring.drains[name].belt]]
        found[name] = DrainCount(
            _counts(palette, part.drains.carriers[row]), _counts(palette, part.drains.units[row])
        )
    return found


def _stations(members: Members, part: Part) -> dict[str, StationState]:
    table, materials, found = part.stations, members.materials, {}
    for row, name in enumerate(members.stations):
        inputs = slice(table.input_first[row], table.input_first[row + 1])
        outputs = slice(table.output_first[row], table.output_first[row + 1])
        rows = range(table.output_first[row], table.output_first[row + 1])
        made = [materials[table.output_material[at]] for at in rows]
        kept = [Fraction(int(table.output_kept[at]), int(table.output_one[at])) for at in rows]
        due = int(table.due[row])
        found[name] = StationState(
            inputs=_by_name(
                [materials[index] for index in table.input_material[inputs]],
                table.input_held[inputs],
            ),
            outlet=_by_name(made, table.output_held[outputs]),
            kept=dict(zip(made, kept, strict=True)),
            due=None if due < 0 else due,
        )
    return found


def _station_counts(members: Members, part: Part) -> dict[str, StationCount]:
    table, materials, found = part.stations, members.materials, {}
    for row, name in enumerate(members.stations):
        inputs = slice(table.input_first[row], table.input_first[row + 1])
        found[name] = StationCount(
            started=int(table.started[row]),
            ended=int(table.ended[row]),
            busy=int(table.busy[row]),
            blocked=int(table.blocked[row]),
            starved=_by_name(
                [materials[index] for index in table.input_material[inputs]],
                table.input_starved[inputs],
            ),
        )
    return found


def _pickers(members: Members, part: Part) -> dict[str, PickerState]:
    table, found = part.pickers, {}
    for row, name in enumerate(members.pickers):
        phase, due = int(table.phase[row]), int(table.due[row])
        idle = phase == col.IDLE
        found[name] = PickerState(
            phase=PHASES[phase],
            material=None if idle else members.materials[table.material[row]],
            count=0 if idle else int(table.units[row]),
            due=due if phase == col.SWINGING else None,
        )
    return found


def _windows(plant: Plant, members: Members, part: Part) -> dict[str, tuple[str | None, ...]]:
    palettes = dict(zip(members.belts, members.palette, strict=True))
    found = {}
    for row, name in enumerate(members.joints):
        gate = plant.wiring.joints[name]
        if not isinstance(gate, Gate) or gate.rule != "windowed":
            continue
        at = part.joints.gate[row]
        first, end = part.gates.window_first[at], part.gates.window_first[at + 1]
        oldest = int(part.gates.window_at[at])
        ring = part.gates.window[first:end].tolist()
        palette = members.palettes[palettes[gate.outlet]]
        found[name] = tuple(
            None if bit < 0 else palette[bit] for bit in ring[oldest:] + ring[:oldest]
        )
    return found
