"""Pickers: swings begin and end; units are taken from belts, stations and stores, and dropped."""

from __future__ import annotations

from loopwright.simulate.columns import (
    AT_BELT,
    AT_STATION,
    AT_STORE,
    HOLDING,
    IDLE,
    LANES,
    PLACING,
    STRETCH,
    SWINGING,
    WORD_BITS,
    Belts,
    Chance,
    Clock,
    Pickers,
    Stations,
    Treatment,
)
from loopwright.simulate.kernel.belt import bit_of, cell_of, enter, leave, look, units_of
from loopwright.simulate.kernel.chance import is_missed
from loopwright.simulate.kernel.jit import apart, kernel
from loopwright.simulate.kernel.mark import mark, unmark
from loopwright.simulate.kernel.treatment import put_by_mark
from loopwright.simulate.kernel.vector import item, lowest, match, occupied
from loopwright.simulate.kernel.wheel import schedule
from loopwright.simulate.kernel.wish import (
    be_idle,
    call_takers,
    forget_wish,
    has_room,
    look_again_all,
)


@kernel
def end_swing(
    belts: Belts, stations: Stations, pickers: Pickers, treatment: Treatment, picker: int
) -> None:
    """1.2 Units on commit arrive; a grabbing hand holds; a hand over a belt is placing."""
    row = item(pickers.rows, picker)
    if row.units:  # not a missed pick
        if row.target == AT_BELT:
            row.phase = PLACING
            line_up(belts, pickers, picker)
            return
        if row.grab:
            row.phase = HOLDING
            if row.target == AT_STATION:
                item(stations.rows, row.target_at).holders += 1
                mark(stations.check, row.target_at)
            else:
                item(stations.stores, row.target_at).holders += 1
                item(stations.stores, row.target_at).check = 1
            return
        arrive(stations, pickers, treatment, picker)
    be_idle(belts, stations, pickers, picker)


@kernel
def arrive(stations: Stations, pickers: Pickers, treatment: Treatment, picker: int) -> None:
    """1.2 The units in a hand come into a station or store."""
    row = item(pickers.rows, picker)
    if row.target == AT_STATION:
        item(stations.inputs, row.input).held += row.units
        if item(stations.rows, row.target_at).grades:
            put_by_mark(treatment, row.input, row.material, row.units)
        if item(stations.rows, row.target_at).due < 0:
            mark(stations.check, row.target_at)
    else:
        store = item(stations.stores, row.target_at)
        stations.held[row.target_at, row.material] += row.units
        call_takers(pickers, store.taker_first, store.taker_last)


@kernel
def line_up(belts: Belts, pickers: Pickers, picker: int) -> None:
    """Put a placing picker into the list of its cell, which is in the order of names."""
    row = item(pickers.rows, picker)
    belt = item(belts.rows, row.target_at)
    belt.waiting += 1
    mark(belts.drops, row.target_at)
    place = belt.drop + row.target_cell
    mark(belts.placing, place)
    first = int(item(belts.placer, place))
    if first < 0 or row.rank < item(pickers.rows, first).rank:
        row.behind = first
        belts.placer[place] = picker
        return
    before = item(pickers.rows, first)
    while before.behind >= 0 and item(pickers.rows, before.behind).rank < row.rank:
        before = item(pickers.rows, before.behind)
    row.behind = before.behind
    before.behind = picker


@kernel
def begin_swing(
    clock: Clock,
    belts: Belts,
    stations: Stations,
    pickers: Pickers,
    picker: int,
    material: int,
    units: int,
    now: int,
) -> None:
    """3.2 Units are in the hand: they count as under way, and the swing begins."""
    row = item(pickers.rows, picker)
    row.phase = SWINGING
    row.material = material
    row.units = units
    row.picks += 1
    row.due = now + row.swing
    schedule(clock, stations.rows.size + picker, row.due)
    if row.source == AT_BELT:
        forget_wish(belts, pickers, picker)
    if row.target == AT_STATION:
        station = item(stations.rows, row.target_at)
        row.input = station.input_first + pickers.taste_slot[row.taste, material]
        if not row.grab:
            item(stations.inputs, row.input).room -= units
    elif row.target == AT_STORE and not row.grab:
        item(stations.stores, row.target_at).room -= units


@apart
def swing_for_nothing(
    clock: Clock, belts: Belts, stations: Stations, pickers: Pickers, picker: int, now: int
) -> None:
    """3.2 A missed pick: the hand stays empty."""
    row = item(pickers.rows, picker)
    row.phase = SWINGING
    row.units = 0
    row.due = now + row.swing
    schedule(clock, stations.rows.size + picker, row.due)
    if row.source == AT_BELT:
        forget_wish(belts, pickers, picker)


@kernel
def pick_at_cell(
    clock: Clock,
    belts: Belts,
    stations: Stations,
    pickers: Pickers,
    chance: Chance,
    belt: int,
    cell: int,
    now: int,
) -> None:
    """3.2 The pickers at one cell, by name, take what they wish of its carrier."""
    first = int(item(belts.watcher, item(belts.rows, belt).watch + cell))
    for picker in range(first, first + int(item(pickers.rows, first).mates)):
        row = item(pickers.rows, picker)
        code = look(belts, belt, cell)
        if code & row.wish == 0:
            continue
        material = int(belts.material[item(belts.rows, belt).palette, bit_of(code)])
        there = units_of(code)
        units = min(there, has_room(stations, pickers, picker, material))
        if units == 0:
            be_idle(belts, stations, pickers, picker)
            continue
        if row.whole and units < there:  # a smaller carrier would do
            continue
        if row.full and units < row.hand:  # a larger one, or more room
            continue
        if row.misses and is_missed(chance, picker, row.picks):
            swing_for_nothing(clock, belts, stations, pickers, picker, now)
            continue
        if units == there:
            leave(belts, belt, cell)
        else:
            belts.cells[item(belts.rows, belt).origin + cell] = code - units
            if row.mates > 1:  # small enough now for one who takes it only whole
                mark(belts.scan, belt)
        begin_swing(clock, belts, stations, pickers, picker, material, units, now)


@kernel
def pick_from_stretch(
    clock: Clock,
    belts: Belts,
    stations: Stations,
    pickers: Pickers,
    chance: Chance,
    belt: int,
    first: int,
    now: int,
) -> None:
    """3.2 Picks from the cells of a belt from `first` on, `STRETCH` at most.

    No pick puts a carrier before another picker, so all cells are looked at beforehand. Then one
    loop over what was found ends once; a loop for each word would end at any time, which no
    processor can foretell.
    """
    row = item(belts.rows, belt)
    origin, watch = row.origin + first, row.watch + first
    last = (min(row.length - first, STRETCH) - 1) >> WORD_BITS
    found = 0
    for block in range(last + 1):
        hits = match(belts.cells, origin + block * LANES, belts.want, watch + block * LANES)
        belts.hits[block] = hits
        found |= int(hits != 0) << block
    while found:
        block = lowest(found)
        hits = int(item(belts.hits, block))
        cell = first + block * LANES + lowest(hits)
        hits &= hits - 1
        belts.hits[block] = hits
        found &= found - int(hits == 0)  # that was the last of its block
        pick_at_cell(clock, belts, stations, pickers, chance, belt, cell, now)


@kernel
def pick_from_belts(
    clock: Clock, belts: Belts, stations: Stations, pickers: Pickers, chance: Chance, now: int
) -> None:
    """3.2 Picks from belts, by belt, cell and picker."""
    for number in range(belts.scan.size):
        word = int(item(belts.scan, number))
        belts.scan[number] = 0
        while word:
            belt = (number << WORD_BITS) + lowest(word)
            word &= word - 1
            for first in range(0, item(belts.rows, belt).length, STRETCH):
                pick_from_stretch(clock, belts, stations, pickers, chance, belt, first, now)


@kernel
def pick_from_box(
    clock: Clock,
    belts: Belts,
    stations: Stations,
    pickers: Pickers,
    chance: Chance,
    picker: int,
    now: int,
) -> None:
    """3.2 A picker at a station or store takes the first material that its target wants."""
    row = item(pickers.rows, picker)
    if row.source == AT_STATION:
        station = item(stations.rows, row.source_at)
        for number in range(station.output_first, station.output_last):
            entry = item(stations.outputs, number)
            units = min(entry.held, has_room(stations, pickers, picker, entry.material))
            if units > 0 and not (row.full and units < row.hand):
                if row.misses and is_missed(chance, picker, row.picks):
                    swing_for_nothing(clock, belts, stations, pickers, picker, now)
                    return
                entry.held -= units
                if station.due < 0:
                    mark(stations.check, row.source_at)
                begin_swing(clock, belts, stations, pickers, picker, entry.material, units, now)
                return
        return
    store = item(stations.stores, row.source_at)
    for material in range(stations.held.shape[1]):
        held = stations.held[row.source_at, material]
        units = min(held, has_room(stations, pickers, picker, material))
        if units > 0 and not (row.full and units < row.hand):
            if row.misses and is_missed(chance, picker, row.picks):
                swing_for_nothing(clock, belts, stations, pickers, picker, now)
                return
            stations.held[row.source_at, material] -= units
            store.room += units
            store.check = 1
            begin_swing(clock, belts, stations, pickers, picker, material, units, now)
            if store.room - units < store.alert:
                look_again_all(belts, stations, pickers, store.feeder_first, store.feeder_last)
            return


@kernel
def pick_from_boxes(
    clock: Clock, belts: Belts, stations: Stations, pickers: Pickers, chance: Chance, now: int
) -> None:
    """3.2 Picks from stations and stores. Who gets ready meanwhile has his turn if it is still to
    come, else in the next tick."""
    for number in range(pickers.ready.size):
        ahead = -1
        while item(pickers.ready, number) & ahead:
            bit = lowest(int(item(pickers.ready, number)) & ahead)
            ahead = -2 << bit
            pickers.ready[number] &= ~(1 << bit)
            picker = (number << WORD_BITS) + bit
            if item(pickers.rows, picker).phase == IDLE:
                pick_from_box(clock, belts, stations, pickers, chance, picker, now)


@kernel
def drop_at_cell(belts: Belts, stations: Stations, pickers: Pickers, belt: int, cell: int) -> None:
    """3.1 The first by name of the placing pickers over an empty cell drops there."""
    row = item(belts.rows, belt)
    picker = int(item(belts.placer, row.drop + cell))
    hand = item(pickers.rows, picker)
    enter(belts, belt, cell, cell_of(int(belts.bit[row.palette, hand.material]), hand.units))
    row.waiting -= 1
    belts.placer[row.drop + cell] = hand.behind
    if hand.behind < 0:
        unmark(belts.placing, row.drop + cell)
    be_idle(belts, stations, pickers, picker)


@kernel
def drop_all(belts: Belts, stations: Stations, pickers: Pickers) -> None:
    """3.1 Drops on all belts with a reason."""
    for number in range(belts.drops.size):
        word = int(item(belts.drops, number))
        belts.drops[number] = 0
        while word:
            belt = (number << WORD_BITS) + lowest(word)
            word &= word - 1
            row = item(belts.rows, belt)
            for cell in range(0, row.length, LANES):
                hands = int(item(belts.placing, (row.drop + cell) >> WORD_BITS))
                hits = hands & ~occupied(belts.cells, row.origin + cell)
                while hits:
                    drop_at_cell(belts, stations, pickers, belt, cell + lowest(hits))
                    hits &= hits - 1
