"""What happens in a tick; the numbers are those of docs/theory/simulate.md."""

from __future__ import annotations

from loopwright.simulate.columns import (
    HEAD_DIVERT,
    HEAD_DRAIN,
    SLOWED,
    TAIL_JOINT,
    TAIL_SOURCE,
    TREATED,
    Belts,
    Chance,
    Clock,
    Gates,
    Joints,
    Part,
    Pickers,
    Stations,
    Treatment,
)
from loopwright.simulate.kernel.belt import advance
from loopwright.simulate.kernel.breaker import strike_if_due
from loopwright.simulate.kernel.jit import apart, kernel
from loopwright.simulate.kernel.joint import divert_head, drain_head, enter_flanks, join, supply
from loopwright.simulate.kernel.mark import marked
from loopwright.simulate.kernel.picker import (
    drop_all,
    end_swing,
    pick_from_belts,
    pick_from_boxes,
)
from loopwright.simulate.kernel.slow import act_by_hand, advance_slowly, stays
from loopwright.simulate.kernel.station import attend_all, end_cycle
from loopwright.simulate.kernel.status import count_status
from loopwright.simulate.kernel.treatment import treat
from loopwright.simulate.kernel.vector import item
from loopwright.simulate.kernel.wheel import first_of_slot, schedule, take_slot


@kernel
def complete(
    clock: Clock,
    belts: Belts,
    stations: Stations,
    pickers: Pickers,
    treatment: Treatment,
    chance: Chance,
    now: int,
) -> None:
    """0, 1.1 and 1.2, in any order: none looks at what the others change, but for a station that
    fails or is repaired, which does so before its cycle ends."""
    actor = take_slot(clock, now)
    while actor >= 0:
        behind = int(item(clock.behind, actor))
        picker = actor - stations.rows.size
        if picker >= pickers.rows.size:
            intervene(clock, belts, stations, chance, actor, picker - pickers.rows.size, now)
            actor = behind
            continue
        if picker < 0 and item(stations.rows, actor).fails:
            strike_if_due(stations, chance, item(stations.breaker, actor), now)
        due = item(pickers.rows, picker).due if picker >= 0 else item(stations.rows, actor).due
        if due != now:
            schedule(clock, actor, due)
        elif picker >= 0:
            end_swing(belts, stations, pickers, treatment, picker)
        else:
            end_cycle(stations, pickers, treatment, chance, actor)
        actor = behind


@apart
def intervene(
    clock: Clock,
    belts: Belts,
    stations: Stations,
    chance: Chance,
    actor: int,
    number: int,
    now: int,
) -> None:
    """0. A breaker strikes, or, as the last, what is done by hand."""
    if number < chance.breakers.size:
        strike_if_due(stations, chance, number, now)
        due = int(item(chance.breakers, number).due)
        if due > now:
            schedule(clock, actor, due)
        return
    time = item(clock.time, 0)
    while time.act < chance.acts.size and item(chance.acts, time.act).tick == now:
        act_by_hand(belts, chance, time.act)
        time.act += 1
    if time.act < chance.acts.size:
        schedule(clock, actor, int(item(chance.acts, time.act).tick))


@kernel
def step(
    belts: Belts,
    joints: Joints,
    gates: Gates,
    stations: Stations,
    pickers: Pickers,
    treatment: Treatment,
    chance: Chance,
    belt: int,
    now: int,
) -> None:
    """2. Head, advance, flanks, tail of one belt, and the applicators over it."""
    row = item(belts.rows, belt)
    if row.odd & SLOWED and stays(belts, chance, belt, now):
        return
    if row.head == HEAD_DRAIN:
        drain_head(belts, joints, belt)
    elif row.head == HEAD_DIVERT:
        divert_head(belts, joints, belt)
    if row.odd & SLOWED:
        advance_slowly(belts, chance, belt, now)
    else:
        advance(belts, belt)
    if row.flanks:
        enter_flanks(belts, joints, belt)
    if row.tail == TAIL_JOINT:
        join(belts, joints, gates, belt)
    elif row.tail == TAIL_SOURCE:
        supply(belts, joints, chance, belt, now)
    if row.odd & TREATED:
        treat(belts, stations, pickers, treatment, belt)


@kernel
def step_all(
    clock: Clock,
    belts: Belts,
    joints: Joints,
    gates: Gates,
    stations: Stations,
    pickers: Pickers,
    treatment: Treatment,
    chance: Chance,
    now: int,
) -> None:
    """2. All belts that are due, downstream first."""
    following = now + (1 << 62)
    for place in range(belts.order.size):
        belt = item(belts.order, place)
        row = item(belts.rows, belt)
        if row.due == now:
            row.due = now + row.step
            step(belts, joints, gates, stations, pickers, treatment, chance, belt, now)
        following = min(following, row.due)
    item(clock.time, 0).step_due = following


@kernel
def is_quiet(clock: Clock, belts: Belts, stations: Stations, pickers: Pickers, now: int) -> bool:
    """Whether nothing is due and nobody has a reason to act."""
    if now == item(clock.time, 0).step_due or first_of_slot(clock, now) >= 0:
        return False
    for store in range(stations.stores.size):
        if item(stations.stores, store).check:
            return False
    return not (
        marked(stations.check) or marked(pickers.ready) or marked(belts.scan) or marked(belts.drops)
    )


@apart
def run_to(part: Part, until: int) -> None:
    """Carry out the ticks up to `until`."""
    clock, belts, joints, gates = part.clock, part.belts, part.joints, part.gates
    stations, pickers, treatment, chance = part.stations, part.pickers, part.treatment, part.chance
    time = item(clock.time, 0)
    for now in range(time.now + 1, until + 1):
        if is_quiet(clock, belts, stations, pickers, now):
            continue
        complete(clock, belts, stations, pickers, treatment, chance, now)
        for turn in range(2):  # not written out, so that the body is compiled once
            if turn == 1:
                if now == time.step_due:
                    step_all(clock, belts, joints, gates, stations, pickers, treatment, chance, now)
                drop_all(belts, stations, pickers)
                pick_from_belts(clock, belts, stations, pickers, chance, now)
                pick_from_boxes(clock, belts, stations, pickers, chance, now)
            attend_all(clock, belts, stations, pickers, treatment, chance, now)
    time.now = max(time.now, until)
    for station in range(stations.rows.size):
        count_status(stations, station, time.now + 1)
