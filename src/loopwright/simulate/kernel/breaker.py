"""Stations fail and are repaired."""

from __future__ import annotations

from loopwright.simulate.columns import (
    BLOCKED,
    BUSY,
    DOWN,
    ON_TIME,
    Chance,
    Clock,
    Pickers,
    Stations,
)
from loopwright.simulate.kernel.chance import draw_ticks
from loopwright.simulate.kernel.jit import apart
from loopwright.simulate.kernel.mark import mark
from loopwright.simulate.kernel.status import set_status
from loopwright.simulate.kernel.vector import item
from loopwright.simulate.kernel.wheel import schedule


@apart
def strike_if_due(stations: Stations, chance: Chance, breaker: int, now: int) -> None:
    """0.2 A failure or repair happens if it is due."""
    row = item(chance.breakers, breaker)
    if row.due != now:
        return
    station = item(stations.rows, row.station)
    if row.repair < 0:
        repair = draw_ticks(chance, row.down, row.down_high, row.down_low, row.failed)
        row.failed += 1
        row.life = draw_ticks(chance, row.up, row.up_high, row.up_low, row.failed)
        row.repair = now + repair
        row.due = row.repair
        if station.due >= 0:
            station.due += repair
        set_status(stations, row.station, DOWN, now)
        return
    row.repair = -1
    row.due = -1
    if row.clock == ON_TIME:
        row.life += now
        row.due = row.life
    if station.due >= 0:
        if row.clock != ON_TIME:
            row.life += now
            if row.life <= station.due:
                row.due = row.life
        set_status(stations, row.station, BUSY, now)
    else:
        set_status(stations, row.station, BLOCKED, now)  # for now; it is looked at in this tick
        mark(stations.check, row.station)


@apart
def start_work(
    clock: Clock, stations: Stations, pickers: Pickers, chance: Chance, breaker: int, now: int
) -> None:
    """1.4 The clock of work runs from now on: its failure may come before the cycle ends."""
    row = item(chance.breakers, breaker)
    if row.clock == ON_TIME:
        return
    row.life += now
    if row.life <= item(stations.rows, row.station).due:
        row.due = row.life
        schedule(clock, stations.rows.size + pickers.rows.size + breaker, row.due)


@apart
def end_work(chance: Chance, breaker: int, now: int) -> None:
    """1.1 The clock of work stands still."""
    row = item(chance.breakers, breaker)
    if row.clock != ON_TIME:
        row.life -= now
