"""Arrays -> State: everything under its name again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any, TypeVar

from loopwright.layout.layout import Gate
from loopwright.simulate import columns as col
from loopwright.simulate.columns import Array, Part
from loopwright.simulate.decode_treatment import (
    count_applicators,
    count_grades,
    decode_applicators,
    decode_grades,
    decode_marks,
)
from loopwright.simulate.division import Members
from loopwright.simulate.encode import Plant
from loopwright.simulate.fill import PHASES
from loopwright.simulate.kind import Kind, units_in_all
from loopwright.simulate.state import (
    ApplicatorCount,
    ApplicatorState,
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
Key = TypeVar("Key", str, Kind)


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
    arrivals: dict[str, int] = {}
    marks: dict[str, tuple[int, ...]] = {}
    marked: dict[str, Mapping[str, tuple[int, ...]]] = {}
    applicators: dict[str, ApplicatorState] = {}
    for members, part in zip(plant.members, plant.parts, strict=True):
        belts |= _belts(members, part)
        marks |= decode_marks(members, part)
        applicators |= decode_applicators(members, part)
        stations |= _stations(members, part, tick)
        pickers |= _pickers(members, part)
        for row, name in enumerate(members.stores):
            held = _counts(members.kinds, part.stations.held[row])
            stores[name], above = units_in_all(held)
            if above:
                marked[name] = above
        turns |= _by_name(members.joints, part.joints.rows["turn"])
        turns |= _by_name(members.diverts, part.joints.diverts["turn"])
        windows |= _windows(plant, members, part)
        credits |= {
            name: Fraction(int(row.credit), int(row.one))
            for row, name in zip(part.joints.sources, members.sources, strict=True)
            if row.one
        }
        arrivals |= {
            name: int(part.chance.gaps[row.gap].due)
            for row, name in zip(part.joints.sources, members.sources, strict=True)
            if row.gap >= 0
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
        arrivals=arrivals,
        marks=marks,
        marked=marked,
        applicators=_arranged(wiring.applicators, applicators),
    )


def decode_counters(plant: Plant) -> Counters:
    """The counters that the arrays of `plant` hold."""
    wiring = plant.wiring
    sources: dict[str, SourceCount] = {}
    joints: dict[str, JointCount] = {}
    diverts: dict[str, tuple[int, ...]] = {}
    stations: dict[str, StationCount] = {}
    picks: dict[str, int] = {}
    missed: dict[str, int] = {}
    applicators: dict[str, ApplicatorCount] = {}
    (earlier,) = plant.earlier
    for members, part in zip(plant.members, plant.parts, strict=True):
        for row, name in zip(part.joints.sources, members.sources, strict=True):
            units = int(row.carriers) * wiring.sources[name].load
            arrived, lost = (
                plant.earlier[0].sources[name].arrived,
                plant.earlier[0].sources[name].lost,
            )
            if row.gap >= 0:
                gap = part.chance.gaps[row.gap]
                arrived, lost = int(gap.arrived), int(gap.lost)
            sources[name] = SourceCount(int(row.carriers), units, int(row.refused), arrived, lost)
        joints |= _joints(members, part)
        for row, name in zip(part.joints.diverts, members.diverts, strict=True):
            outlets = slice(row.outlet_first, row.outlet_first + row.outlets)
            diverts[name] = tuple(part.joints.outlets["passed"][outlets].tolist())
        stations |= _station_counts(members, part, earlier)
        picks |= _by_name(members.pickers, part.pickers.rows["picks"])
        missed |= _missed(members, part)
        applicators |= count_applicators(members, part)
    return Counters(
        sources=_arranged(wiring.sources, sources),
        drains=decode_drains(plant),
        joints=joints,
        diverts=_arranged(wiring.diverts, diverts),
        stations=_arranged(wiring.stations, stations),
        picks=_arranged(wiring.picker_rank, picks),
        missed=dict(earlier.missed) | missed,
        put=_sum(plant, earlier.put, 0),
        removed=_sum(plant, earlier.removed, 1),
        applicators=_arranged(wiring.applicators, applicators),
    )


def decode_drains(plant: Plant) -> dict[str, DrainCount]:
    """The counters of drains alone."""
    found: dict[str, DrainCount] = {}
    for members, part in zip(plant.members, plant.parts, strict=True):
        found |= _drains(plant, members, part)
    return _arranged(plant.wiring.drains, found)


def _arranged(names: Iterable[str], found: dict[str, Value]) -> dict[str, Value]:
    """`found` in the order of `names`."""
    return {name: found[name] for name in names}


def _by_name(names: Iterable[str], values: Array) -> dict[str, Any]:
    return dict(zip(names, values.tolist(), strict=True))


def _counts(names: Iterable[Key], values: Array) -> dict[Key, int]:
    """`values` by name, without those that are 0."""
    return {name: int(value) for name, value in zip(names, values, strict=False) if value}


def _of_materials(kinds: Iterable[Kind], values: Array) -> dict[str, int]:
    """`values` by material, of all marks together, without those that are 0."""
    units, _ = units_in_all(_counts(kinds, values))
    return units


def _belts(members: Members, part: Part) -> dict[str, tuple[Carrier | None, ...]]:
    found = {}
    rows = zip(part.belts.rows, members.belts, members.palette, strict=True)
    for row, name, number in rows:
        palette = members.palettes[number]
        found[name] = tuple(
            (palette[(code >> col.COUNT_BITS).bit_length() - 1].material, code & col.COUNT_MASK)
            if code
            else None
            for code in part.belts.cells[row.origin : row.origin + row.length].tolist()
        )
    return found


def _joints(members: Members, part: Part) -> dict[str, JointCount]:
    found = {}
    passed = part.joints.inlets["passed"]
    for row, name in zip(part.joints.rows, members.joints, strict=True):
        end = row.inlet_first + row.fresh + (row.main >= 0)
        found[name] = JointCount(int(row.offered), tuple(passed[row.inlet_first : end].tolist()))
    for row, name in zip(part.joints.flanks, members.flanks, strict=True):
        found[name] = JointCount(int(row.offered), (int(row.passed),))
    return found


def _drains(plant: Plant, members: Members, part: Part) -> dict[str, DrainCount]:
    palettes = dict(zip(members.belts, members.palette, strict=True))
    found = {}
    for row, name in enumerate(members.drains):
        palette = members.palettes[palettes[plant.wiring.drains[name].belt]]
        found[name] = DrainCount(
            _of_materials(palette, part.joints.drained[row]),
            _of_materials(palette, part.joints.drained_units[row]),
        )
    return found


def _by_station(members: Members, part: Part, side: str, column: str) -> list[list[Any]]:
    """A column of the inputs or outputs, in a list for each station."""
    values = getattr(part.stations, f"{side}s")[column].tolist()
    rows = part.stations.rows[: len(members.stations)]
    ends = (rows[f"{side}_{end}"].tolist() for end in ("first", "last"))
    return [values[first:last] for first, last in zip(*ends, strict=True)]


def _materials(members: Members, part: Part, side: str) -> list[list[str]]:
    """The materials of the inputs or outputs of each station."""
    rows = _by_station(members, part, side, "material")
    return [[members.kinds[number].material for number in row] for row in rows]


def _stations(members: Members, part: Part, tick: int) -> dict[str, StationState]:
    columns = zip(
        members.stations,
        _materials(members, part, "input"),
        _by_station(members, part, "input", "held"),
        _materials(members, part, "output"),
        *(_by_station(members, part, "output", name) for name in ("held", "kept", "one")),
        part.stations.rows["due"][: len(members.stations)].tolist(),
        _failures(members, part, tick),
        decode_grades(members, part),
        strict=True,
    )
    return {
        name: StationState(
            inputs=dict(zip(needs, held, strict=True)),
            outlet=dict(zip(made, out, strict=True)),
            kept=dict(zip(made, map(Fraction, kept, ones), strict=True)),
            due=None if due < 0 else due,
            down=down,
            life=life,
            marked=marked,
            grade=grade,
        )
        for name, needs, held, made, out, kept, ones, due, (down, life), (marked, grade) in columns
    }


def _missed(members: Members, part: Part) -> dict[str, int]:
    """Picks missed, of pickers that missed any."""
    if not len(part.chance.misses):
        return {}
    return _counts(members.pickers, part.chance.misses["missed"])


def _failures(members: Members, part: Part, tick: int) -> Iterator[tuple[int | None, int | None]]:
    """When each station is up again, and how long it lives."""
    count = len(members.stations)
    breakers, dues = part.stations.breaker[:count], part.stations.rows["due"][:count]
    for station, (number, due) in enumerate(zip(breakers.tolist(), dues.tolist(), strict=True)):
        if number < 0:
            yield None, None
            continue
        row = part.chance.breakers[number]
        assert row.station == station
        if row.repair >= 0:
            yield int(row.repair), int(row.life)
        elif row.clock == col.ON_TIME or due >= 0:
            yield None, int(row.life) - tick - 1
        else:
            yield None, int(row.life)


def _sum(plant: Plant, earlier: Mapping[str, int], side: int) -> dict[str, int]:
    """Units put or taken off by hand, with those of before."""
    found = dict(earlier)
    for members, part in zip(plant.members, plant.parts, strict=True):
        for material, units in _of_materials(members.kinds, part.chance.by_hand[side]).items():
            found[material] = found.get(material, 0) + units
    return found


def _station_counts(members: Members, part: Part, earlier: Counters) -> dict[str, StationCount]:
    count = len(members.stations)
    rows = part.stations.rows[:count]
    columns = zip(
        members.stations,
        *(rows[name].tolist() for name in ("started", "ended", "busy", "blocked")),
        map(
            zip,
            _materials(members, part, "input"),
            _by_station(members, part, "input", "starved"),
        ),
        part.stations.down[:count].tolist(),
        [
            earlier.stations[name].failed
            if number < 0
            else int(part.chance.breakers[number].failed)
            for name, number in zip(
                members.stations, part.stations.breaker[:count].tolist(), strict=True
            )
        ],
        count_grades(members, part),
        strict=True,
    )
    return {
        name: StationCount(started, ended, busy, blocked, dict(starved), down, failed, graded)
        for name, started, ended, busy, blocked, starved, down, failed, graded in columns
    }


def _pickers(members: Members, part: Part) -> dict[str, PickerState]:
    rows = part.pickers.rows
    columns = zip(
        members.pickers,
        *(rows[name].tolist() for name in ("phase", "material", "units", "due")),
        strict=True,
    )
    idle = PickerState("idle", None, 0, None)
    return {
        name: idle
        if phase == col.IDLE
        else PickerState(
            PHASES[phase],
            members.kinds[material].material if units else None,
            units,
            due if phase == col.SWINGING else None,
            members.kinds[material].mark if units else 0,
        )
        for name, phase, material, units, due in columns
    }


def _windows(plant: Plant, members: Members, part: Part) -> dict[str, tuple[str | None, ...]]:
    palettes = dict(zip(members.belts, members.palette, strict=True))
    found = {}
    for row, name in zip(part.joints.rows, members.joints, strict=True):
        gate = plant.wiring.joints[name]
        if not isinstance(gate, Gate) or gate.rule != "windowed":
            continue
        at = part.gates.rows[row.gate]
        ring = part.gates.window[at.window_first : at.window_last].tolist()
        palette = members.palettes[palettes[gate.outlet]]
        found[name] = tuple(
            None if bit < 0 else palette[bit].material
            for bit in ring[at.window_at :] + ring[: at.window_at]
        )
    return found
