"""Stations and stores: cycles end and start, hands that hold deliver, ticks are accounted for."""

from __future__ import annotations

from loopwright.simulate.columns import (
    BLOCKED,
    BUSY,
    DOWN,
    HOLDING,
    WORD_BITS,
    Belts,
    Chance,
    Clock,
    Pickers,
    Stations,
    Treatment,
)
from loopwright.simulate.kernel.breaker import end_work, start_work
from loopwright.simulate.kernel.chance import draw_ticks
from loopwright.simulate.kernel.jit import apart, kernel
from loopwright.simulate.kernel.mark import mark
from loopwright.simulate.kernel.status import set_status
from loopwright.simulate.kernel.treatment import (
    begin_batch,
    end_batch,
    grade_of_next,
    most_of,
    put_by_mark,
)
from loopwright.simulate.kernel.vector import item, lowest
from loopwright.simulate.kernel.wheel import schedule
from loopwright.simulate.kernel.wish import be_idle, call_takers, look_again_all


@kernel
def end_cycle(
    stations: Stations, pickers: Pickers, treatment: Treatment, chance: Chance, station: int
) -> None:
    """1.1 The outputs come to the outlet in whole units; the fraction is kept over."""
    row = item(stations.rows, station)
    if not (row.grades and end_batch(stations, treatment, station)):
        for output in range(row.output_first, row.output_last):
            entry = item(stations.outputs, output)
            if entry.one == 1:
                entry.held += entry.gain
            else:
                kept = entry.kept + entry.gain
                entry.held += kept // entry.one
                entry.kept = kept % entry.one
    if row.fails:
        end_work(chance, item(stations.breaker, station), row.due)
    row.due = -1
    row.ended += 1
    mark(stations.check, station)
    call_takers(pickers, row.taker_first, row.taker_last)


@apart
def deliver_to_station(
    belts: Belts, stations: Stations, pickers: Pickers, treatment: Treatment, station: int
) -> None:
    """1.3 Pickers that hold units for a station put in as many as there is room, by name."""
    target = item(stations.rows, station)
    for feeder in range(target.feeder_first, target.feeder_last):
        picker = int(item(pickers.feeders, feeder))
        row = item(pickers.rows, picker)
        if row.phase != HOLDING:
            continue
        entry = item(stations.inputs, row.input)
        units = max(min(row.units, entry.room), 0)
        entry.held += units
        entry.room -= units
        row.units -= units
        if target.grades:
            put_by_mark(treatment, row.input, row.material, units)
        if row.units == 0:
            target.holders -= 1
            be_idle(belts, stations, pickers, picker)


@apart
def deliver_to_store(belts: Belts, stations: Stations, pickers: Pickers, store: int) -> None:
    """1.3 Pickers that hold units for a store put in as many as there is room, by name."""
    target = item(stations.stores, store)
    for feeder in range(target.feeder_first, target.feeder_last):
        picker = int(item(pickers.feeders, feeder))
        row = item(pickers.rows, picker)
        if row.phase != HOLDING:
            continue
        units = max(min(row.units, target.room), 0)
        stations.held[store, row.material] += units
        target.room -= units
        row.units -= units
        if row.units == 0:
            target.holders -= 1
            be_idle(belts, stations, pickers, picker)
    call_takers(pickers, target.taker_first, target.taker_last)


@kernel
def missing(stations: Stations, station: int) -> int:
    """The first input of which less than a cycle's need is held, from 0; -1 if none."""
    row = item(stations.rows, station)
    for entry in range(row.input_first, row.input_last):
        if item(stations.inputs, entry).held < item(stations.inputs, entry).need:
            return entry - row.input_first
    return -1


@apart
def cycle_of(
    stations: Stations, treatment: Treatment, chance: Chance, station: int, now: int
) -> int:
    """1.4 The time of a cycle that starts now, of the batch that is taken."""
    row = item(stations.rows, station)
    cycle = int(row.cycle)
    grade = int(item(treatment.batch, station))
    place = item(treatment.grade_first, station) + grade - 1
    if grade:
        cycle = int(item(treatment.grades, place).cycle)
    number = int(item(stations.pace, station))
    if number >= 0:
        pace = item(chance.paces, number)
        law = int(pace.law)
        if grade:
            law = int(item(treatment.grades, place).law)
        cycle = draw_ticks(chance, law, pace.high, pace.low, row.started)
    longest = cycle
    for brown in range(chance.browns.size):
        at = item(chance.browns, brown)
        if at.begin <= now < at.end:
            longest = max(longest, (cycle * at.over + at.under - 1) // at.under)
    return longest


@kernel
def start_cycle(
    clock: Clock,
    belts: Belts,
    stations: Stations,
    pickers: Pickers,
    treatment: Treatment,
    chance: Chance,
    station: int,
    now: int,
) -> bool:
    """1.4 If all inputs are there and all outputs have room, a cycle starts."""
    row = item(stations.rows, station)
    if row.due >= 0 or row.status == DOWN:
        return False
    status = missing(stations, station)
    grade = 0
    if status < 0:
        status = BUSY
        if row.grades:
            grade = grade_of_next(stations, treatment, station)
        for output in range(row.output_first, row.output_last):
            most = most_of(stations, treatment, station, grade, output)
            if item(stations.outputs, output).held + most > row.outlet_cap:
                status = BLOCKED
                break
    set_status(stations, station, status, now)
    if status != BUSY:
        return False
    if row.grades:
        begin_batch(stations, treatment, station, grade)
    opened = False
    for number in range(row.input_first, row.input_last):
        entry = item(stations.inputs, number)
        entry.held -= entry.need
        opened |= entry.room < row.alert
        entry.room += entry.need
    cycle = int(row.cycle)
    if row.varies:
        cycle = cycle_of(stations, treatment, chance, station, now)
    row.due = now + cycle
    row.started += 1
    schedule(clock, station, row.due)
    if row.fails:
        start_work(clock, stations, pickers, chance, item(stations.breaker, station), now)
    if opened:
        look_again_all(belts, stations, pickers, row.feeder_first, row.feeder_last)
    return True


@kernel
def attend(
    clock: Clock,
    belts: Belts,
    stations: Stations,
    pickers: Pickers,
    treatment: Treatment,
    chance: Chance,
    station: int,
    now: int,
) -> None:
    """1.3 to 1.5 for one station."""
    if item(stations.rows, station).holders:
        deliver_to_station(belts, stations, pickers, treatment, station)
    started = start_cycle(clock, belts, stations, pickers, treatment, chance, station, now)
    if started and item(stations.rows, station).holders:
        deliver_to_station(belts, stations, pickers, treatment, station)


@kernel
def attend_all(
    clock: Clock,
    belts: Belts,
    stations: Stations,
    pickers: Pickers,
    treatment: Treatment,
    chance: Chance,
    now: int,
) -> None:
    """1.3 to 1.5, or 3.3, for all stations and stores with a reason."""
    for number in range(stations.check.size):
        word = int(item(stations.check, number))
        stations.check[number] = 0
        while word:
            station = (number << WORD_BITS) + lowest(word)
            word &= word - 1
            attend(clock, belts, stations, pickers, treatment, chance, station, now)
    for store in range(stations.stores.size):
        row = item(stations.stores, store)
        if row.check:
            row.check = 0
            if row.holders:
                deliver_to_store(belts, stations, pickers, store)
