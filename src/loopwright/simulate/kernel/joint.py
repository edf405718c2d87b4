"""What feeds and relieves belts: sources, drains, merges, side merges, diverts."""

from __future__ import annotations

from loopwright.simulate.columns import (
    ALTERNATE,
    BY_MATERIAL,
    PRIORITY,
    Belts,
    Chance,
    Gates,
    Joints,
)
from loopwright.simulate.kernel.belt import (
    bit_of,
    enter,
    look,
    look_at_head,
    take_head,
    units_of,
)
from loopwright.simulate.kernel.chance import draw_ticks
from loopwright.simulate.kernel.gate import choose_fresh, note_window
from loopwright.simulate.kernel.jit import apart, kernel
from loopwright.simulate.kernel.vector import item


@kernel
def drain_head(belts: Belts, joints: Joints, belt: int) -> None:
    """2.1 The drain takes the carrier at the head of `belt`."""
    if look_at_head(belts, belt) == 0:
        return
    code = take_head(belts, belt)
    drain = item(belts.rows, belt).head_at
    joints.drained[drain, bit_of(code)] += 1
    joints.drained_units[drain, bit_of(code)] += units_of(code)


@kernel
def divert_head(belts: Belts, joints: Joints, belt: int) -> None:
    """2.1 The divert passes the carrier at the head of `belt` to an outlet with an empty tail."""
    code = look_at_head(belts, belt)
    if code == 0:
        return
    divert = item(belts.rows, belt).head_at
    row = item(joints.diverts, divert)
    choice = 0
    tries = row.outlets
    if row.rule == ALTERNATE:
        choice = row.turn
    elif row.rule == BY_MATERIAL:
        choice = int(joints.filter[divert, bit_of(code)])
        tries = 1
    for _ in range(tries):
        outlet = item(joints.outlets, row.outlet_first + choice)
        after = choice + 1
        if after == row.outlets:
            after = 0
        if look(belts, outlet.belt, 0) == 0:
            enter(belts, outlet.belt, 0, take_head(belts, belt))
            outlet.passed += 1
            if row.rule == ALTERNATE:
                row.turn = after
            return
        choice = after


@kernel
def enter_flanks(belts: Belts, joints: Joints, belt: int) -> None:
    """2.3 Side merges let carriers onto empty cells of `belt`."""
    first = item(belts.rows, belt).flank_first
    for flank in range(first, first + item(belts.rows, belt).flanks):
        row = item(joints.flanks, flank)
        if look(belts, belt, row.cell) == 0:
            row.offered += 1
            if look_at_head(belts, row.inlet):
                enter(belts, belt, row.cell, take_head(belts, row.inlet))
                row.passed += 1


@kernel
def piece_at(chance: Chance, first: int, last: int, now: int) -> int:
    """The rate that holds at `now`."""
    piece = first
    while piece + 1 < last and item(chance.pieces, piece + 1).begin <= now:
        piece += 1
    return piece


@apart
def take_arrivals(joints: Joints, chance: Chance, source: int, now: int, out: bool) -> None:
    """2.4 Carriers that have arrived at the dock by now wait there, or are lost."""
    row = item(joints.sources, source)
    gap = item(chance.gaps, row.gap)
    while gap.due <= now:
        if out or row.credit + row.one > gap.most:
            gap.lost += 1
        else:
            row.credit += row.one
        gap.arrived += 1
        piece = piece_at(chance, row.piece_first, row.piece_last, gap.due)
        law = item(chance.pieces, piece).law
        gap.due += draw_ticks(chance, law, gap.high, gap.low, gap.arrived)


@kernel
def supply(belts: Belts, joints: Joints, chance: Chance, belt: int, now: int) -> None:
    """2.4 The source puts a full load on the tail of `belt`, as far as its credit goes."""
    row = item(joints.sources, item(belts.rows, belt).tail_at)
    out = False
    for outage in range(row.outage_first, row.outage_last):
        out |= item(joints.outages, outage).begin <= now < item(joints.outages, outage).end
    if row.gap >= 0:
        take_arrivals(joints, chance, item(belts.rows, belt).tail_at, now, out)
    if out:
        return
    if row.one:
        if row.gap < 0:
            if row.piece_last > row.piece_first:
                row.gain = item(
                    chance.pieces, piece_at(chance, row.piece_first, row.piece_last, now)
                ).gain
            row.credit = min(row.credit + row.gain, row.one + row.gain)
        if row.credit < row.one:
            return
    if look(belts, belt, 0):
        row.refused += 1
        return
    enter(belts, belt, 0, row.cell)
    row.carriers += 1
    row.credit -= row.one


@kernel
def first_in_turn(belts: Belts, joints: Joints, joint: int) -> int:
    """The first fresh inlet with a carrier at its head, by turn or priority; -1 if none."""
    row = item(joints.rows, joint)
    choice = 0
    if row.rule == ALTERNATE:
        choice = row.turn
    for _ in range(row.fresh):
        after = choice + 1
        if after == row.fresh:
            after = 0
        if look_at_head(belts, item(joints.inlets, row.inlet_first + choice).belt):
            if row.rule == ALTERNATE:
                row.turn = after
            return choice
        choice = after
    return -1


@kernel
def join(belts: Belts, joints: Joints, gates: Gates, belt: int) -> None:
    """2.4 The merge or gate passes one carrier to the empty tail of `belt`."""
    if look(belts, belt, 0):
        return
    joint = item(belts.rows, belt).tail_at
    row = item(joints.rows, joint)
    row.offered += 1
    if row.main >= 0 and not row.placed and look_at_head(belts, row.main):
        chosen = row.fresh
    elif row.rule <= PRIORITY:
        chosen = first_in_turn(belts, joints, joint)
    else:
        chosen = choose_fresh(belts, joints, gates, joint)
    bit = -1
    if chosen >= 0:
        inlet = item(joints.inlets, row.inlet_first + chosen)
        code = take_head(belts, inlet.belt)
        enter(belts, belt, 0, code)
        inlet.passed += 1
        bit = bit_of(code)
    if row.gate >= 0:
        note_window(gates, row.gate, bit)
