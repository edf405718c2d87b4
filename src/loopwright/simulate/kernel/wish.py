"""What idle pickers would take, kept so that nobody else has to be asked."""

from __future__ import annotations

from loopwright.simulate.columns import (
    AT_BELT,
    AT_STATION,
    COUNT_BITS,
    IDLE,
    Belts,
    Pickers,
    Stations,
)
from loopwright.simulate.kernel.jit import kernel
from loopwright.simulate.kernel.mark import mark
from loopwright.simulate.kernel.vector import item


@kernel
def has_room(stations: Stations, pickers: Pickers, picker: int, material: int) -> int:
    """Units of `material` that the picker may take towards its target."""
    row = item(pickers.rows, picker)
    hand = int(row.hand)
    if row.target == AT_BELT:
        return hand
    if row.target == AT_STATION:
        slot = int(pickers.taste_slot[row.taste, material])
        if slot < 0:
            return 0
        if row.grab:
            return hand
        room = item(stations.inputs, item(stations.rows, row.target_at).input_first + slot).room
    else:
        if row.grab:
            return hand
        room = item(stations.stores, row.target_at).room
    return max(min(int(room), hand), 0)


@kernel
def wish_of(belts: Belts, stations: Stations, pickers: Pickers, picker: int) -> int:
    """The bits of all materials that the picker would take from its belt now."""
    row = item(pickers.rows, picker)
    everything = ((1 << belts.on_belt.shape[1]) - 1) << COUNT_BITS
    if row.target == AT_BELT:
        return everything
    if row.target == AT_STATION:
        station = item(stations.rows, row.target_at)
        wish = 0
        for slot in range(station.input_last - station.input_first):
            bits = pickers.taste_bits[row.taste, slot]
            room = item(stations.inputs, station.input_first + slot).room
            wish |= bits & -(int(room > 0) | row.grab)  # a branch could not be foretold
        return wish
    if row.grab or item(stations.stores, row.target_at).room > 0:
        return everything
    return 0


@kernel
def say_wish(belts: Belts, pickers: Pickers, picker: int) -> None:
    """Write on the cell what the picker, and others at the same cell, would take."""
    row = item(pickers.rows, picker)
    place = item(belts.rows, row.source_at).watch + row.source_cell
    wish = row.wish
    if row.mates > 1:
        first = item(belts.watcher, place)
        wish = 0
        for mate in range(first, first + int(row.mates)):
            wish |= item(pickers.rows, mate).wish
    belts.want[place] = wish


@kernel
def be_idle(belts: Belts, stations: Stations, pickers: Pickers, picker: int) -> None:
    """The picker, free or with new room in its target, wishes for what its belt may bring, or will
    look into its station or store."""
    row = item(pickers.rows, picker)
    row.phase = IDLE
    if row.source == AT_BELT:
        row.wish = wish_of(belts, stations, pickers, picker)
        say_wish(belts, pickers, picker)
        mark(belts.scan, row.source_at)
    else:
        mark(pickers.ready, picker)


@kernel
def forget_wish(belts: Belts, pickers: Pickers, picker: int) -> None:
    """The picker swings, or it wished for something that its target has no room for any more."""
    item(pickers.rows, picker).wish = 0
    say_wish(belts, pickers, picker)


@kernel
def look_again_all(
    belts: Belts, stations: Stations, pickers: Pickers, feeders_first: int, feeders_last: int
) -> None:
    """There is new room in a target: the idle pickers that work towards it may take more."""
    for feeder in range(feeders_first, feeders_last):
        picker = int(item(pickers.feeders, feeder))
        if item(pickers.rows, picker).phase == IDLE:
            be_idle(belts, stations, pickers, picker)


@kernel
def call_takers(pickers: Pickers, first: int, last: int) -> None:
    """There is more to take in a station or store."""
    for picker in range(first, last):
        mark(pickers.ready, picker)
