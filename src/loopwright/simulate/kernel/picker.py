"""Pickers: they pick, swing, deliver and drop."""

from __future__ import annotations

from loopwright.simulate.columns import (
    AT_BELT,
    AT_STATION,
    AT_STORE,
    HOLDING,
    IDLE,
    PLACING,
    SWINGING,
    Belts,
    Pickers,
    Stations,
    Stores,
)
from loopwright.simulate.kernel.belt import bit_of, cell_of, count_of, look, put
from loopwright.simulate.kernel.jit import kernel


@kernel
def input_row(stations: Stations, pickers: Pickers, picker: int, material: int) -> int:
    """The input of the target station that takes `material`, -1 if it has none."""
    slot = pickers.slots[pickers.slot[picker], material]
    return -1 if slot < 0 else stations.input_first[pickers.target_at[picker]] + slot


@kernel
def end_swing(pickers: Pickers, stations: Stations, stores: Stores, picker: int) -> None:
    """1.2 Units on commit arrive; a grabbing hand holds; a hand over a belt is placing."""
    target, at = pickers.target[picker], pickers.target_at[picker]
    pickers.due[picker] = -1
    if target == AT_BELT:
        pickers.phase[picker] = PLACING
        return
    if pickers.grab[picker]:
        pickers.phase[picker] = HOLDING
        return
    material, count = pickers.material[picker], pickers.units[picker]
    if target == AT_STATION:
        stations.input_held[input_row(stations, pickers, picker, material)] += count
    else:
        stores.held[at, material] += count
    pickers.phase[picker] = IDLE


@kernel
def deliver(pickers: Pickers, stations: Stations, stores: Stores, picker: int) -> None:
    """1.3 A holding picker puts in as many units as there is room."""
    material, count = pickers.material[picker], pickers.units[picker]
    if pickers.target[picker] == AT_STATION:
        row = input_row(stations, pickers, picker, material)
        count = min(count, max(stations.input_room[row], 0))
        stations.input_held[row] += count
        stations.input_room[row] -= count
    else:
        at = pickers.target_at[picker]
        count = min(count, max(stores.room[at], 0))
        stores.held[at, material] += count
        stores.room[at] -= count
    pickers.units[picker] -= count
    if pickers.units[picker] == 0:
        pickers.phase[picker] = IDLE


@kernel
def reach(
    pickers: Pickers, stations: Stations, stores: Stores, picker: int, material: int, there: int
) -> int:
    """How many of the units that are `there` the picker would take; 0 if its target wants none."""
    count = min(there, pickers.hand[picker])
    if pickers.target[picker] == AT_STATION:
        row = input_row(stations, pickers, picker, material)
        if row < 0:
            return 0
        if not pickers.grab[picker]:
            count = min(count, stations.input_room[row])
    elif pickers.target[picker] == AT_STORE and not pickers.grab[picker]:
        count = min(count, stores.room[pickers.target_at[picker]])
    return max(count, 0)


@kernel
def swing(
    pickers: Pickers,
    stations: Stations,
    stores: Stores,
    picker: int,
    material: int,
    count: int,
    now: int,
) -> None:
    """3.1 Units are in the hand: they count as under way, and the swing begins."""
    if not pickers.grab[picker]:
        if pickers.target[picker] == AT_STATION:
            row = input_row(stations, pickers, picker, material)
            stations.input_room[row] -= count
        elif pickers.target[picker] == AT_STORE:
            stores.room[pickers.target_at[picker]] -= count
    pickers.phase[picker] = SWINGING
    pickers.material[picker] = material
    pickers.units[picker] = count
    pickers.due[picker] = now + pickers.swing[picker]
    pickers.picks[picker] += 1


@kernel
def pick(
    belts: Belts, pickers: Pickers, stations: Stations, stores: Stores, picker: int, now: int
) -> None:
    """3.1 An idle picker takes the first material that its target wants."""
    source, at = pickers.source[picker], pickers.source_at[picker]
    if source == AT_BELT:
        index = pickers.source_cell[picker]
        code = look(belts, at, index)
        if code == 0:
            return
        there = count_of(code)
        material = belts.material[belts.palette[at], bit_of(code)]
        count = reach(pickers, stations, stores, picker, material, there)
        if count:
            put(belts, at, index, 0 if count == there else code - count)
            swing(pickers, stations, stores, picker, material, count, now)
    elif source == AT_STATION:
        for out in range(stations.output_first[at], stations.output_first[at + 1]):
            material = stations.output_material[out]
            there = stations.output_held[out]
            count = reach(pickers, stations, stores, picker, material, there)
            if count:
                stations.output_held[out] -= count
                swing(pickers, stations, stores, picker, material, count, now)
                return
    else:
        for material in range(stores.held.shape[1]):
            there = stores.held[at, material]
            count = reach(pickers, stations, stores, picker, material, there)
            if count:
                stores.held[at, material] -= count
                stores.room[at] += count
                swing(pickers, stations, stores, picker, material, count, now)
                return


@kernel
def drop(belts: Belts, pickers: Pickers, picker: int) -> None:
    """3.2 A placing picker puts its units on the target cell if that is empty."""
    belt, index = pickers.target_at[picker], pickers.target_cell[picker]
    if look(belts, belt, index) == 0:
        bit = belts.bit[belts.palette[belt], pickers.material[picker]]
        put(belts, belt, index, cell_of(bit, pickers.units[picker]))
        pickers.phase[picker] = IDLE
