"""State -> arrays: what changes in a run."""

from __future__ import annotations

from typing import Any

from loopwright.layout.layout import Gate
from loopwright.simulate import columns as col
from loopwright.simulate.columns import Array, Part
from loopwright.simulate.division import Members
from loopwright.simulate.encode import Plant
from loopwright.simulate.fill_chance import fill_chance, put_on_wheel
from loopwright.simulate.fill_treatment import fill_treatment
from loopwright.simulate.kind import Kind, first_kinds, units_by_kind
from loopwright.simulate.limit import within
from loopwright.simulate.numbering import numbers
from loopwright.simulate.state import State

PHASES = ("idle", "swinging", "holding", "placing")
"""Names of the phases of a picker, by number."""


def fill(plant: Plant, state: State) -> None:
    """Write `state` into the arrays of `plant`, and mark everything that may be able to act."""
    for members, part in zip(plant.members, plant.parts, strict=True):
        part.clock.time[0].now = state.tick
        part.clock.wheel[:] = part.belts.placer[:] = -1
        _fill_belts(members, part, state)
        _fill_ends(plant, members, part, state)
        _fill_joints(plant, members, part, state)
        _fill_stations(members, part, state)
        _fill_stores(members, part, state)
        fill_treatment(members, part, state)
        for rank in sorted(
            range(len(members.pickers)), key=lambda p: -int(part.pickers.rows[p].rank)
        ):
            _fill_picker(members, part, state, rank)
        fill_chance(plant.seed, members, part, state)
    plant.earlier[:] = [state.counters]


def mark(words: Array, number: int) -> None:
    """Set the mark of device `number`."""
    number = int(number)  # of full width: the last mark of a word would else be its sign
    words[number >> col.WORD_BITS] |= 1 << (number & ((1 << col.WORD_BITS) - 1))


def _fill_belts(members: Members, part: Part, state: State) -> None:
    belts = part.belts
    for number, (row, name) in enumerate(zip(belts.rows, members.belts, strict=True)):
        step, palette = int(row.step), numbers(members.palettes[members.palette[number]])
        row.due = (state.tick // step + 1) * step
        cells = state.belts[name]
        marks = state.marks.get(name, (0,) * len(cells))
        for index, (cell, level) in enumerate(zip(cells, marks, strict=True)):
            if cell is None:
                continue
            material, count = cell
            bit = palette[Kind(material, level)]
            units = within(name, "a carrier", count, col.COUNT_MASK)
            belts.cells[row.origin + index] = 1 << (bit + col.COUNT_BITS) | units
            row.carriers += 1
            belts.on_belt[number, bit] += 1
        if row.watch >= 0:
            mark(belts.scan, number)
        if row.drop >= 0:
            mark(belts.drops, number)
    part.clock.time[0].step_due = min(belts.rows["due"], default=0)


def _fill_ends(plant: Plant, members: Members, part: Part, state: State) -> None:
    """Sources and drains."""
    joints, counters = part.joints, state.counters
    for row, name in zip(joints.sources, members.sources, strict=True):
        if row.one:
            row.credit = int(state.credits[name] * int(row.one))
        row.carriers, row.refused = counters.sources[name].carriers, counters.sources[name].refused
    palettes = dict(zip(members.belts, members.palette, strict=True))
    for number, name in enumerate(members.drains):
        count = counters.drains[name]
        palette = members.palettes[palettes[plant.wiring.drains[name].belt]]
        bits = numbers(palette)
        for material, kind in first_kinds(palette).items():
            joints.drained[number, bits[kind]] = count.carriers.get(material, 0)
            joints.drained_units[number, bits[kind]] = count.units.get(material, 0)


def _fill_joints(plant: Plant, members: Members, part: Part, state: State) -> None:
    joints, gates, counters = part.joints, part.gates, state.counters
    palettes = dict(zip(members.belts, members.palette, strict=True))
    for row, name in zip(joints.rows, members.joints, strict=True):
        passed = counters.joints[name].passed
        row.turn, row.offered = state.turns[name], counters.joints[name].offered
        joints.inlets["passed"][row.inlet_first : row.inlet_first + len(passed)] = passed
        gate = plant.wiring.joints[name]
        if isinstance(gate, Gate) and gate.rule == "windowed":
            at = gates.rows[row.gate]
            bits = numbers(members.palettes[palettes[gate.outlet]])
            window = [
                -1 if material is None else bits[Kind(material)] for material in state.windows[name]
            ]
            gates.window[at.window_first : at.window_last] = window
            for bit in bits.values():
                gates.window_count[row.gate, bit] = window.count(bit)
    for row, name in zip(joints.flanks, members.flanks, strict=True):
        row.offered, (row.passed,) = counters.joints[name].offered, counters.joints[name].passed
    for row, name in zip(joints.diverts, members.diverts, strict=True):
        row.turn = state.turns[name]
        outlets = slice(row.outlet_first, row.outlet_first + row.outlets)
        joints.outlets["passed"][outlets] = counters.diverts[name]


def _fill_stations(members: Members, part: Part, state: State) -> None:
    stations = part.stations
    inputs, outputs = stations.inputs, stations.outputs
    rows = stations.rows[: len(members.stations)]
    stations.rows["since"], stations.rows["due"] = state.tick + 1, -1
    stations.rows["status"] = col.BLOCKED
    counts = [state.counters.stations[name] for name in members.stations]
    rows["started"] = [count.started for count in counts]
    rows["ended"] = [count.ended for count in counts]
    rows["busy"] = [count.busy for count in counts]
    rows["blocked"] = [count.blocked for count in counts]
    stations.down[: len(members.stations)] = [count.down for count in counts]
    for number, name in enumerate(members.stations):
        due = state.stations[name].due
        if due is not None:
            rows[number].due, rows[number].status = due, col.BUSY
            put_on_wheel(part.clock, number, due)
    for number in range(len(stations.rows)):
        mark(stations.check, number)

    needs = _owners(members, rows["input_first"], rows["input_last"], inputs["material"])
    tanks = [state.applicators[name].held for name in members.applicators]
    inputs["held"] = [state.stations[name].inputs[material] for name, material in needs] + tanks
    inputs["room"] -= inputs["held"]
    inputs["starved"][: len(needs)] = [
        state.counters.stations[name].starved[material] for name, material in needs
    ]
    made = _owners(members, rows["output_first"], rows["output_last"], outputs["material"])
    outputs["held"] = [state.stations[name].outlet[material] for name, material in made]
    kept = [state.stations[name].kept[material] for name, material in made]
    outputs["kept"] = [int(k * one) for k, one in zip(kept, outputs["one"].tolist(), strict=True)]


def _owners(members: Members, first: Array, last: Array, material: Array) -> list[tuple[str, str]]:
    """The station and the material of every input, or of every output."""
    return [
        (name, members.kinds[material[row]].material)
        for name, begin, end in zip(members.stations, first, last, strict=True)
        for row in range(begin, end)
    ]


def _fill_stores(members: Members, part: Part, state: State) -> None:
    for number, (row, name) in enumerate(zip(part.stations.stores, members.stores, strict=True)):
        held = units_by_kind(state.stores[name], state.marked.get(name, {}))
        for kind, units in held.items():
            part.stations.held[number, members.kinds.index(kind)] = units
            row.room -= units
        row.check = 1


def _fill_picker(members: Members, part: Part, state: State, number: int) -> None:
    pickers, stations = part.pickers, part.stations
    row, now = pickers.rows[number], state.pickers[members.pickers[number]]
    row.phase = PHASES.index(now.phase)
    if now.due is not None:
        row.due = now.due
        put_on_wheel(part.clock, len(members.attended) + number, now.due)
    row.picks = state.counters.picks[members.pickers[number]]
    if row.source == col.AT_BELT:
        _fill_wish(part, number, now.phase == "idle")
    elif now.phase == "idle":
        mark(pickers.ready, number)
    if now.material is None:
        return
    row.material, row.units = members.kinds.index(Kind(now.material, now.mark)), now.count
    holder: Any = None
    if row.target == col.AT_STATION:
        holder = stations.rows[row.target_at]
        row.input = holder.input_first + pickers.taste_slot[row.taste, row.material]
    elif row.target == col.AT_STORE:
        holder = stations.stores[row.target_at]
    if now.phase == "holding":
        holder.holders += 1
    elif now.phase == "placing":  # called by falling rank, so the first by name ends up first
        belt = part.belts.rows[row.target_at]
        at = belt.drop + row.target_cell
        belt.waiting += 1
        row.behind, part.belts.placer[at] = part.belts.placer[at], number
        mark(part.belts.placing, at)
    elif now.due is not None:
        if not row.grab and row.target == col.AT_STATION:
            stations.inputs[row.input].room -= now.count
        elif not row.grab and row.target == col.AT_STORE:
            holder.room -= now.count


def _fill_wish(part: Part, number: int, idle: bool) -> None:
    """An idle picker wishes for anything at first; its first look puts that right."""
    belts, row = part.belts, part.pickers.rows[number]
    at = belts.rows[row.source_at].watch + row.source_cell
    if (
        number == 0
        or part.pickers.rows[number - 1].source_at != row.source_at
        or (part.pickers.rows[number - 1].source_cell != row.source_cell)
    ):
        belts.watcher[at] = number
    if idle:
        row.wish = ((1 << belts.on_belt.shape[1]) - 1) << col.COUNT_BITS
        belts.want[at] = row.wish
