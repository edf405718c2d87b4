"""What happens in a tick; the numbers are those of docs/theory/simulate.md."""

from __future__ import annotations

from loopwright.simulate.columns import (
    HEAD_DIVERT,
    HEAD_DRAIN,
    HOLDING,
    IDLE,
    PLACING,
    SWINGING,
    TAIL_JOINT,
    TAIL_SOURCE,
    Part,
    Pickers,
    Stations,
    Stores,
)
from loopwright.simulate.kernel.belt import advance
from loopwright.simulate.kernel.jit import entry, kernel
from loopwright.simulate.kernel.joint import divert_head, drain_head, enter_flanks, join, supply
from loopwright.simulate.kernel.picker import deliver, drop, end_swing, pick
from loopwright.simulate.kernel.station import account, end_cycle, start_cycle


@kernel
def step(part: Part, belt: int, now: int) -> None:
    """2. Head, advance, flanks, tail of one belt."""
    belts = part.belts
    if belts.head[belt] == HEAD_DRAIN:
        drain_head(belts, part.drains, belt)
    elif belts.head[belt] == HEAD_DIVERT:
        divert_head(belts, part.diverts, belt)
    advance(belts, belt)
    enter_flanks(belts, part.flanks, belt)
    if belts.tail[belt] == TAIL_SOURCE:
        supply(belts, part.sources, belt, now)
    elif belts.tail[belt] == TAIL_JOINT:
        join(belts, part.joints, part.gates, belt)


@kernel
def deliver_all(pickers: Pickers, stations: Stations, stores: Stores) -> None:
    """1.3 All holding pickers deliver, in the order of names."""
    for picker in pickers.by_name:
        if pickers.phase[picker] == HOLDING:
            deliver(pickers, stations, stores, picker)


@kernel
def start_all(stations: Stations, now: int) -> None:
    """1.4 All idle stations that can start a cycle do."""
    for station in range(stations.due.size):
        start_cycle(stations, station, now)


@entry
def run_to(part: Part, until: int) -> None:
    """Carry out the ticks up to `until`."""
    belts, stations, stores, pickers = part.belts, part.stations, part.stores, part.pickers
    for now in range(part.clock.now[0] + 1, until + 1):
        for station in range(stations.due.size):
            if stations.due[station] == now:
                end_cycle(stations, station)
        for picker in range(pickers.due.size):
            if pickers.phase[picker] == SWINGING and pickers.due[picker] == now:
                end_swing(pickers, stations, stores, picker)
        deliver_all(pickers, stations, stores)
        start_all(stations, now)
        deliver_all(pickers, stations, stores)

        for belt in belts.order:
            if belts.due[belt] == now:
                belts.due[belt] += belts.step[belt]
                step(part, belt, now)

        for picker in range(pickers.due.size):
            if pickers.phase[picker] == IDLE:
                pick(belts, pickers, stations, stores, picker, now)
        for picker in pickers.by_name:
            if pickers.phase[picker] == PLACING:
                drop(belts, pickers, picker)
        start_all(stations, now)
        deliver_all(pickers, stations, stores)

        for station in range(stations.due.size):
            account(stations, station)
        part.clock.now[0] = now
