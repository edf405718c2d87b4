"""What feeds and relieves belts: sources, drains, merges, side merges, diverts."""

from __future__ import annotations

from loopwright.simulate.columns import (
    ALTERNATE,
    BY_MATERIAL,
    PRIORITY,
    Belts,
    Diverts,
    Drains,
    Flanks,
    Gates,
    Joints,
    Sources,
)
from loopwright.simulate.kernel.belt import (
    bit_of,
    count_of,
    look,
    look_at_head,
    put,
    take_head,
)
from loopwright.simulate.kernel.gate import note_window, pick_fresh
from loopwright.simulate.kernel.jit import kernel


@kernel
def drain_head(belts: Belts, drains: Drains, belt: int) -> None:
    """2.1 The drain takes the carrier at the head of `belt`."""
    code = take_head(belts, belt)
    if code:
        drain, bit = belts.head_at[belt], bit_of(code)
        drains.carriers[drain, bit] += 1
        drains.units[drain, bit] += count_of(code)


@kernel
def divert_head(belts: Belts, diverts: Diverts, belt: int) -> None:
    """2.1 The divert passes the carrier at the head of `belt` to an outlet with an empty tail."""
    code = look_at_head(belts, belt)
    if code == 0:
        return
    divert = belts.head_at[belt]
    rule = diverts.rule[divert]
    first = diverts.first[divert]
    outlets = diverts.first[divert + 1] - first
    choice = 0
    tries = outlets
    if rule == ALTERNATE:
        choice = diverts.turn[divert]
    elif rule == BY_MATERIAL:
        choice = diverts.filter[divert, bit_of(code)]
        tries = 1
    for _ in range(tries):
        outlet = diverts.outlet[first + choice]
        after = choice + 1
        if after == outlets:
            after = 0
        if look(belts, outlet, 0) == 0:
            take_head(belts, belt)
            put(belts, outlet, 0, code)
            diverts.passed[first + choice] += 1
            if rule == ALTERNATE:
                diverts.turn[divert] = after
            return
        choice = after


@kernel
def enter_flanks(belts: Belts, flanks: Flanks, belt: int) -> None:
    """2.3 Side merges let carriers onto empty cells of `belt`."""
    for flank in range(belts.flank_first[belt], belts.flank_first[belt + 1]):
        index = flanks.cell[flank]
        if look(belts, belt, index) == 0:
            flanks.offered[flank] += 1
            code = take_head(belts, flanks.inlet[flank])
            if code:
                put(belts, belt, index, code)
                flanks.passed[flank] += 1


@kernel
def supply(belts: Belts, sources: Sources, belt: int, now: int) -> None:
    """2.4 The source puts a full load on the tail of `belt`, as far as its credit goes."""
    source = belts.tail_at[belt]
    for outage in range(sources.outage_first[source], sources.outage_first[source + 1]):
        if sources.outage_from[outage] <= now < sources.outage_to[outage]:
            return
    one = sources.one[source]
    credit = one
    if one:
        gain = sources.gain[source]
        credit = min(sources.credit[source] + gain, one + gain)
        sources.credit[source] = credit
    if credit < one:
        return
    if look(belts, belt, 0):
        sources.refused[source] += 1
        return
    put(belts, belt, 0, sources.cell[source])
    sources.carriers[source] += 1
    sources.credit[source] = credit - one


@kernel
def join(belts: Belts, joints: Joints, gates: Gates, belt: int) -> None:
    """2.4 The merge or gate passes one carrier to the empty tail of `belt`."""
    if look(belts, belt, 0):
        return
    joint = belts.tail_at[belt]
    joints.offered[joint] += 1
    first = joints.first[joint]
    fresh = joints.fresh[joint]
    chosen = -1
    if joints.first[joint + 1] - first > fresh and look_at_head(belts, joints.inlet[first + fresh]):
        chosen = fresh
    elif joints.rule[joint] <= PRIORITY:
        alternate = joints.rule[joint] == ALTERNATE
        choice = joints.turn[joint] if alternate else 0
        for _ in range(fresh):
            after = choice + 1
            if after == fresh:
                after = 0
            if look_at_head(belts, joints.inlet[first + choice]):
                chosen = choice
                if alternate:
                    joints.turn[joint] = after
                break
            choice = after
    else:
        chosen = pick_fresh(belts, joints, gates, joint)
    code = 0
    if chosen >= 0:
        code = take_head(belts, joints.inlet[first + chosen])
        put(belts, belt, 0, code)
        joints.passed[first + chosen] += 1
    if joints.gate[joint] >= 0:
        note_window(gates, joints.gate[joint], bit_of(code))
