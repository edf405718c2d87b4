"""Stations: cycles end and start, and every tick is accounted for."""

from __future__ import annotations

from loopwright.simulate.columns import Stations
from loopwright.simulate.kernel.jit import kernel


@kernel
def end_cycle(stations: Stations, station: int) -> None:
    """1.1 The outputs come to the outlet in whole units; the fraction is kept over."""
    for out in range(stations.output_first[station], stations.output_first[station + 1]):
        kept = stations.output_kept[out] + stations.output_gain[out]
        whole = kept // stations.output_one[out]
        stations.output_held[out] += whole
        stations.output_kept[out] = kept - whole * stations.output_one[out]
    stations.due[station] = -1
    stations.ended[station] += 1


@kernel
def missing(stations: Stations, station: int) -> int:
    """The first input of which less than a cycle's need is held, -1 if none."""
    first = stations.input_first[station]
    for row in range(first, stations.input_first[station + 1]):
        if stations.input_held[row] < stations.input_need[row]:
            return row
    return -1


@kernel
def start_cycle(stations: Stations, station: int, now: int) -> bool:
    """1.4 If all inputs are there and all outputs have room, a cycle starts."""
    if stations.due[station] >= 0 or missing(stations, station) >= 0:
        return False
    for out in range(stations.output_first[station], stations.output_first[station + 1]):
        if stations.output_held[out] + stations.output_most[out] > stations.outlet_cap[station]:
            return False
    for row in range(stations.input_first[station], stations.input_first[station + 1]):
        stations.input_held[row] -= stations.input_need[row]
        stations.input_room[row] += stations.input_need[row]
    stations.due[station] = now + stations.cycle[station]
    stations.started[station] += 1
    return True


@kernel
def account(stations: Stations, station: int) -> None:
    """4. One tick busy, starved or blocked."""
    if stations.due[station] >= 0:
        stations.busy[station] += 1
        return
    row = missing(stations, station)
    if row >= 0:
        stations.input_starved[row] += 1
    else:
        stations.blocked[station] += 1
