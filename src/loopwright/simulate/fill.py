"""State -> arrays: what changes in a run."""

from __future__ import annotations

from loopwright.layout.layout import Gate
from loopwright.simulate import columns as col
from loopwright.simulate.columns import Part
from loopwright.simulate.division import Members
from loopwright.simulate.encode import Plant
from loopwright.simulate.limit import EngineLimitError
from loopwright.simulate.state import State

PHASES = ("idle", "swinging", "holding", "placing")
"""Names of the phases of a picker, by number."""


def fill(plant: Plant, state: State) -> None:
    """Write `state` into the arrays of `plant`."""
    for members, part in zip(plant.members, plant.parts, strict=True):
        part.clock.now[0] = state.tick
        _fill_belts(members, part, state)
        _fill_sources(members, part, state)
        _fill_joints(plant, members, part, state)
        _fill_stations(members, part, state)
        _fill_pickers(members, part, state)


def _fill_belts(members: Members, part: Part, state: State) -> None:
    belts = part.belts
    for row, name in enumerate(members.belts):
        step, palette = int(belts.step[row]), members.palettes[members.palette[row]]
        belts.due[row] = (state.tick // step + 1) * step
        for index, cell in enumerate(state.belts[name]):
            if cell is None:
                continue
            material, count = cell
            if not 1 <= count <= col.COUNT_MASK:
                raise EngineLimitError(f"{name}: a carrier of {count} units, 1 to 15 fit")
            code = 1 << (palette.index(material) + col.COUNT_BITS) | count
            belts.cells[belts.base[row] + index] = code
    for row, name in enumerate(members.flanks):
        joint = state.counters.joints[name]
        part.flanks.offered[row], part.flanks.passed[row] = joint.offered, joint.passed[0]


def _fill_sources(members: Members, part: Part, state: State) -> None:
    sources, counters = part.sources, state.counters
    for row, name in enumerate(members.sources):
        if sources.one[row]:
            sources.credit[row] = int(state.credits[name] * int(sources.one[row]))
        sources.carriers[row] = counters.sources[name].carriers
        sources.refused[row] = counters.sources[name].refused
    drain_palette = {
        int(part.belts.head_at[row]): members.palettes[members.palette[row]]
        for row in range(len(members.belts))
        if part.belts.head[row] == col.HEAD_DRAIN
    }
    for row, name in enumerate(members.drains):
        for bit, material in enumerate(drain_palette[row]):
            part.drains.carriers[row, bit] = counters.drains[name].carriers.get(material, 0)
            part.drains.units[row, bit] = counters.drains[name].units.get(material, 0)


def _fill_joints(plant: Plant, members: Members, part: Part, state: State) -> None:
    joints, gates, diverts = part.joints, part.gates, part.diverts
    for row, name in enumerate(members.joints):
        count, first = state.counters.joints[name], joints.first[row]
        joints.turn[row], joints.offered[row] = state.turns[name], count.offered
        joints.passed[first : joints.first[row + 1]] = count.passed
        gate = plant.wiring.joints[name]
        if isinstance(gate, Gate) and gate.rule == "windowed":
            at, palette = joints.gate[row], part.belts.palette[members.belts.index(gate.outlet)]
            bits = members.palettes[palette]
            passed = [-1 if m is None else bits.index(m) for m in state.windows[name]]
            gates.window[gates.window_first[at] : gates.window_first[at + 1]] = passed
            for bit in range(len(bits)):
                gates.window_count[at, bit] = passed.count(bit)
    for row, name in enumerate(members.diverts):
        diverts.turn[row] = state.turns[name]
        diverts.passed[diverts.first[row] : diverts.first[row + 1]] = state.counters.diverts[name]


def _fill_stations(members: Members, part: Part, state: State) -> None:
    stations = part.stations
    for row, name in enumerate(members.stations):
        now, count = state.stations[name], state.counters.stations[name]
        stations.due[row] = -1 if now.due is None else now.due
        stations.started[row], stations.ended[row] = count.started, count.ended
        stations.busy[row], stations.blocked[row] = count.busy, count.blocked
        for slot in range(stations.input_first[row], stations.input_first[row + 1]):
            material = members.materials[stations.input_material[slot]]
            stations.input_held[slot] = now.inputs[material]
            stations.input_room[slot] -= now.inputs[material]
            stations.input_starved[slot] = count.starved[material]
        for slot in range(stations.output_first[row], stations.output_first[row + 1]):
            material = members.materials[stations.output_material[slot]]
            stations.output_held[slot] = now.outlet[material]
            stations.output_kept[slot] = int(now.kept[material] * int(stations.output_one[slot]))
    for row, name in enumerate(members.stores):
        for material, units in state.stores[name].items():
            part.stores.held[row, members.materials.index(material)] = units
            part.stores.room[row] -= units


def _fill_pickers(members: Members, part: Part, state: State) -> None:
    pickers = part.pickers
    for row, name in enumerate(members.pickers):
        now = state.pickers[name]
        pickers.phase[row] = PHASES.index(now.phase)
        pickers.picks[row] = state.counters.picks[name]
        pickers.due[row] = -1 if now.due is None else now.due
        if now.material is None:
            continue
        material = members.materials.index(now.material)
        pickers.material[row], pickers.units[row] = material, now.count
        if pickers.grab[row] or now.phase != "swinging":
            continue
        target = pickers.target_at[row]
        if pickers.target[row] == col.AT_STATION:
            slot = pickers.slots[pickers.slot[row], material]
            part.stations.input_room[part.stations.input_first[target] + slot] -= now.count
        elif pickers.target[row] == col.AT_STORE:
            part.stores.room[target] -= now.count
