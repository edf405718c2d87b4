"""State -> arrays: what is known of disturbances, or drawn before the first tick."""

from __future__ import annotations

from typing import Any

import numpy as np

from loopwright.simulate import columns as col
from loopwright.simulate.columns import Chance, Clock, Part
from loopwright.simulate.division import Members
from loopwright.simulate.draw import Table, draw, ticks
from loopwright.simulate.state import State


def put_on_wheel(clock: Clock, actor: int, due: int) -> None:
    """Let `actor` be called at `due`."""
    slot = due & (len(clock.wheel) - 1)
    clock.behind[actor] = clock.wheel[slot]
    clock.wheel[slot] = actor


def fill_chance(seed: int, members: Members, part: Part, state: State) -> None:
    """Write what `state` holds of disturbances; the stations and clock are filled already."""
    chance, first = part.chance, len(members.attended) + len(members.pickers)
    for number in range(len(chance.breakers)):
        _fill_breaker(seed, members, part, state, number)
        if chance.breakers[number].due >= 0:
            put_on_wheel(part.clock, first + number, int(chance.breakers[number].due))
    for source, name in zip(part.joints.sources, members.sources, strict=True):
        if source.gap >= 0:
            _fill_gap(seed, part, state, source, name)
    if len(chance.misses):
        missed = state.counters.missed
        chance.misses["missed"] = [missed.get(name, 0) for name in members.pickers]
    act = int(np.searchsorted(chance.acts["tick"], state.tick, side="right"))
    part.clock.time[0].act = act
    if act < len(chance.acts):
        actor = first + len(chance.breakers)
        put_on_wheel(part.clock, actor, int(chance.acts[act].tick))


def _time(seed: int, chance: Chance, law: int, name: tuple[int, int], number: int) -> int:
    row = chance.laws[law]
    fields = (int(row.kind), int(row.low), int(row.span), int(row.middle), int(row.shift))
    values = chance.values[row.first : row.first + row.count].tolist()
    return ticks(Table(*fields, tuple(values)), draw(seed, name, number))


def _fill_breaker(seed: int, members: Members, part: Part, state: State, number: int) -> None:
    row = part.chance.breakers[number]
    station = part.stations.rows[row.station]
    name = members.stations[row.station]
    now = state.stations[name]
    row.failed = state.counters.stations[name].failed
    life = now.life
    if life is None:
        stream = int(row.up_high), int(row.up_low)
        life = _time(seed, part.chance, int(row.up), stream, int(row.failed))
    row.life, row.repair, row.due = life, -1, -1
    if now.down is not None:
        row.repair = row.due = now.down
        station.status = col.DOWN
    elif row.clock == col.ON_TIME or now.due is not None:
        row.life = state.tick + 1 + life
        if row.clock == col.ON_TIME or row.life <= station.due:
            row.due = row.life


def _fill_gap(seed: int, part: Part, state: State, source: Any, name: str) -> None:
    row = part.chance.gaps[source.gap]
    count = state.counters.sources[name]
    row.arrived, row.lost = count.arrived, count.lost
    due = state.arrivals.get(name)
    if due is None:
        pieces = part.chance.pieces[source.piece_first : source.piece_last]
        law = int(pieces[pieces["begin"] <= state.tick][-1].law)
        stream = int(row.high), int(row.low)
        due = state.tick + _time(seed, part.chance, law, stream, count.arrived)
    row.due = due
