"""4. How the ticks of stations are accounted for."""

from __future__ import annotations

from loopwright.simulate.columns import BLOCKED, BUSY, DOWN, Stations
from loopwright.simulate.kernel.jit import kernel
from loopwright.simulate.kernel.vector import item


@kernel
def set_status(stations: Stations, station: int, status: int, now: int) -> None:
    """4. The ticks before `now` go to the counter of the old status."""
    row = item(stations.rows, station)
    if status == row.status:
        return
    count_status(stations, station, now)
    row.status = status


@kernel
def count_status(stations: Stations, station: int, until: int) -> None:
    """4. Put the ticks before `until` on their counter."""
    row = item(stations.rows, station)
    ticks = until - row.since
    row.since = until
    if row.status == BUSY:
        row.busy += ticks
    elif row.status == BLOCKED:
        row.blocked += ticks
    elif row.status == DOWN:
        stations.down[station] += ticks
    else:
        item(stations.inputs, row.input_first + row.status).starved += ticks
