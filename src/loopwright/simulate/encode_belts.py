"""Belts and what feeds and relieves them -> arrays."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import lcm

import numpy as np

from loopwright.layout.layout import Divert, Drain, Gate, Merge, Source
from loopwright.simulate import columns as col
from loopwright.simulate.columns import Belts, Joints, Part
from loopwright.simulate.kind import Kind
from loopwright.simulate.limit import EngineLimitError, LayoutError, within
from loopwright.simulate.numbering import Numbering, numbers
from loopwright.simulate.wiring import inlets_of

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


def encode_belts(names: Numbering, part: Part) -> None:
    """Write all that does not change of belts, sources, joints, gates and diverts."""
    _belts(names, part.belts)
    _ends(names, part.belts)
    _flanks(names, part)
    _sources(names, part.joints)
    _joints(names, part.joints)
    _gates(names, part)
    _diverts(names, part.joints)


def fit(device: str, *amounts: int | Fraction) -> tuple[int, ...]:
    """`amounts` as whole numbers that are safe to add a few times in 64 bits."""
    if max(amounts) >= 2**60:
        raise EngineLimitError(f"{device}: its fraction is too fine for 64 bits")
    return tuple(int(amount) for amount in amounts)


def padded(length: int) -> int:
    """`length` [cells] rounded up to whole wide comparisons."""
    return -(-length // col.LANES) * col.LANES


def _belts(names: Numbering, belts: Belts) -> None:
    watched = {picker.source.device for picker in names.pickers}
    dropped = {picker.target.device for picker in names.pickers}
    room = watch = drop = 0
    for row, belt in zip(belts.rows, names.belts, strict=True):
        row.length = within(belt.name, "a length", len(belt.path), 2**15 - 1)
        row.room, row.origin = room, room + len(belt.path)
        row.step = names.whole(1 / belt.speed, belt.name)
        row.watch = row.drop = -1
        if belt.name in watched:
            row.watch, watch = watch, watch + padded(len(belt.path))
        if belt.name in dropped:
            row.drop, drop = drop, drop + padded(len(belt.path))
        room += 2 * len(belt.path) + col.LANES
    belts.rows["palette"] = names.members.palette
    belts.order[:] = names.members.belt_order
    belts.bit[:] = belts.material[:] = -1
    for palette, bits in enumerate(names.bit):
        for kind, bit in bits.items():
            belts.bit[palette, names.kind[kind]] = bit
            belts.material[palette, bit] = names.kind[kind]
            same = [1 << other for one, other in bits.items() if one.material == kind.material]
            belts.alike[palette, bit] = sum(same)


def _ends(names: Numbering, belts: Belts) -> None:
    """What takes from the head of each belt and what feeds its tail."""
    wiring, members = names.wiring, names.members
    places = [numbers(kind) for kind in (members.drains, members.diverts, members.sources)]
    drains, diverts, sources = places
    joints = numbers(members.joints)
    for row, belt in zip(belts.rows, names.belts, strict=True):
        head, tail = wiring.head.get(belt.name), wiring.tail.get(belt.name)
        if isinstance(head, Drain):
            row.head, row.head_at = col.HEAD_DRAIN, drains[head.name]
        elif isinstance(head, Divert):
            row.head, row.head_at = col.HEAD_DIVERT, diverts[head.name]
        if isinstance(tail, Source):
            row.tail, row.tail_at = col.TAIL_SOURCE, sources[tail.name]
        elif isinstance(tail, Merge | Gate):
            row.tail, row.tail_at = col.TAIL_JOINT, joints[tail.name]


def _flanks(names: Numbering, part: Part) -> None:
    rows = part.joints.flanks
    mains = [names.belt[flank.main] for flank in names.flanks]
    rows["inlet"] = [names.belt[flank.inlet] for flank in names.flanks]
    rows["cell"] = [flank.index for flank in names.flanks]
    belts = np.arange(len(names.belts))
    first = np.searchsorted(mains, belts)
    part.belts.rows["flank_first"] = first
    part.belts.rows["flanks"] = np.searchsorted(mains, belts, side="right") - first


def _sources(names: Numbering, joints: Joints) -> None:
    first = 0
    for row, source, spans in zip(joints.sources, names.sources, names.outages, strict=True):
        bit = names.palette_bits(source.belt)[Kind(source.material)]
        load = within(source.name, "a load", source.load, col.COUNT_MASK)
        row.cell = 1 << (bit + col.COUNT_BITS) | load
        if source.rate is not None:
            speed = names.wiring.belts[source.belt].speed
            gain = source.rate / speed
            later = [e.rate / speed for e in names.supplies if e.source == source.name]
            credit = names.state.credits[source.name]
            one = lcm(*(share.denominator for share in (gain, credit, *later)))
            fit(source.name, one, *(share * one for share in later))
            row.one, row.gain = fit(source.name, one, gain * one)
        row.outage_first, row.outage_last = first, first + len(spans)
        for outage, (begin, end) in enumerate(spans, first):
            joints.outages[outage].begin, joints.outages[outage].end = begin, end
        first += len(spans)


def _rule(rules: Mapping[str, int], device: Merge | Gate | Divert) -> int:
    if device.rule not in rules:
        raise LayoutError(f"{device.name}: no rule {device.rule}")
    return rules[device.rule]


def _joints(names: Numbering, joints: Joints) -> None:
    first = gates = 0
    for row, joint in zip(joints.rows, names.joints, strict=True):
        inlets = [names.belt[inlet] for inlet in inlets_of(joint)]
        row.rule, row.inlet_first = _rule(JOINT_RULES, joint), first
        row.fresh = len(joint.inlets)
        row.main = inlets[-1] if len(inlets) > row.fresh else -1
        row.placed = isinstance(joint, Gate) and joint.main_has_places
        row.gate = gates if isinstance(joint, Gate) else -1
        gates += isinstance(joint, Gate)
        joints.inlets["belt"][first : first + len(inlets)] = inlets
        first += len(inlets)


def _gates(names: Numbering, part: Part) -> None:
    gates = part.gates
    gates.quota[:], gates.share[:] = NO_QUOTA, 1
    place = action = loop = 0
    for number, (row, gate) in enumerate(zip(gates.rows, names.gates, strict=True)):
        _check_gate(gate)
        bits = names.palette_bits(gate.outlet)
        for table, amounts in ((gates.quota, gate.quotas), (gates.share, gate.shares)):
            told = dict(amounts)
            for kind, bit in bits.items():
                if kind.material in told:
                    table[number, bit] = told[kind.material]
        row.pattern_first, row.pattern_last = place, place + len(gate.pattern)
        inlets = inlets_of(gate)
        gates.pattern[place : row.pattern_last] = [inlets.index(inlet) for inlet in gate.pattern]
        row.window_first, row.window_last = action, action + names.window(gate)
        belts = sorted(names.belt[name] for name in gate.loop)
        row.loop_first, row.loop_last = loop, loop + len(belts)
        gates.loop[loop : row.loop_last] = belts
        if gate.rule in ("counted", "scarcest-first"):
            part.belts.rows["counted"][belts] = 1
        place, action, loop = row.pattern_last, row.window_last, row.loop_last


def _check_gate(gate: Gate) -> None:
    if gate.rule == "scarcest-first" and any(share < 1 for _, share in gate.shares):
        raise LayoutError(f"{gate.name}: a share below 1")
    if gate.rule == "ratio-locked" and not gate.pattern:
        raise LayoutError(f"{gate.name}: ratio-locked without a pattern")
    if len(set(gate.loop)) < len(gate.loop):
        raise LayoutError(f"{gate.name}: a belt twice on its loop")
    if gate.main_has_places and set(gate.pattern) == {gate.main}:
        raise LayoutError(f"{gate.name}: a pattern of nothing but {gate.main}")
    for inlet in gate.pattern:
        if inlet not in gate.inlets and not (gate.main_has_places and inlet == gate.main):
            raise LayoutError(f"{gate.name}: {inlet} of the pattern is no inlet")


def _diverts(names: Numbering, joints: Joints) -> None:
    first = 0
    for number, (row, divert) in enumerate(zip(joints.diverts, names.diverts, strict=True)):
        row.rule, row.outlet_first = _rule(DIVERT_RULES, divert), first
        row.outlets = len(divert.outlets)
        outlets = [names.belt[outlet] for outlet in divert.outlets]
        joints.outlets["belt"][first : first + len(outlets)] = outlets
        joints.filter[number] = len(outlets) - 1
        bits = names.palette_bits(divert.inlet)
        for _, outlet in divert.filters:
            if outlet not in divert.outlets:
                raise LayoutError(f"{divert.name}: {outlet} of the filters is no outlet")
        filters = dict(divert.filters)
        for kind, bit in bits.items():
            if kind.material in filters:
                joints.filter[number, bit] = divert.outlets.index(filters[kind.material])
        first += len(outlets)
