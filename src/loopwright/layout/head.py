"""The head of a row: docks, supply belts, gate, lane and return."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from loopwright.block.sequence import level_sequence
from loopwright.finding import DesignError, new_finding
from loopwright.layout.dock import SUPPLY_CELLS, draw_dock
from loopwright.layout.draft import Draft
from loopwright.layout.drained import DRAINED, drained_places
from loopwright.layout.layout import Belt, Divert, Drain, Gate, Merge
from loopwright.layout.mixing.draw import (
    draw_mixed_lane,
    draw_mixed_supply,
    mixer_cells,
    mixer_depth,
)
from loopwright.layout.parts import Parts
from loopwright.layout.quota import live_quotas, shared_quotas
from loopwright.layout.row import RowPlace, lane_depth, row_length
from loopwright.layout.sorting import SORTED, draw_sorted_lane, sorted_cells, sorted_depth

OUTPUT_CELLS = 4
"""How far an output belt runs on beyond its row, to its dock [cells]."""

DRAIN_CELLS = 2
"""Belt between the divert to the drain and the gate [cells]."""

HEAD_CELLS = SUPPLY_CELLS + 2
"""What stands upstream of the lane's first cell: dock, supply belt, gate [cells]; more with a
mixer."""


def head_cells(architecture: str, parts: Parts) -> int:
    """What stands upstream of the lane's first cell [cells]."""
    if architecture == "loop" and parts.gate == SORTED:
        return sorted_cells(parts)
    return max(HEAD_CELLS, mixer_cells(parts, loop=architecture == "loop"))


def head_depth(architecture: str, parts: Parts, stations: int) -> int:
    """The outermost `v` that a row of so many `stations` with a lane of its own uses."""
    if architecture == "plain":
        return lane_depth(parts, len(parts.inputs))
    if architecture == "pass":
        return mixer_depth(parts)
    if parts.gate == SORTED:
        return sorted_depth(parts, stations)
    if parts.gate != DRAINED:
        return max(lane_depth(parts, 2), mixer_depth(parts))
    return _waste_depth(parts)


def _waste_depth(parts: Parts) -> int:
    """The `v` of the way out of a drained loop, beyond the return and the mixer."""
    return 1 + max(lane_depth(parts, 2), mixer_depth(parts))


def gate_height(parts: Parts, *, loop: bool) -> int:
    """Cells that the gate's bar covers: one an inlet, two at least where a loop returns."""
    fresh = 1 if parts.mixer is not None else len(parts.inputs)
    return max(fresh, 2 if loop else 1)


def draw_plain_lanes(draft: Draft, row: RowPlace, parts: Parts) -> list[Belt]:
    """A lane for each material straight from its dock; they end with the row.

    Raises
    ------
    DesignError
        A station is too narrow for a picker a lane, side by side.
    """
    if parts.width < len(parts.inputs):
        message = f"a plain row needs {len(parts.inputs)} pickers side by side at each station"
        allowed = f"{parts.width} on a station {parts.width} cells wide"
        raise DesignError((new_finding("LW414", message, allowed=allowed),))
    lanes = []
    for number, material in enumerate(parts.inputs, start=1):
        depth = lane_depth(parts, number)
        lane = Belt(
            f"{row.name} lane {material}",
            row.frame.line(-SUPPLY_CELLS, row.station_end(parts), depth),
            parts.lane_speed,
            "lane",
        )
        dock = row.frame.cell(-SUPPLY_CELLS - 1, depth)
        draw_dock(draft, row, material, dock, lane, parts)
        lanes.append(lane)
    return lanes


def draw_loop_lane(draft: Draft, row: RowPlace, parts: Parts) -> Belt:
    """A mixed loop: gate, lane out, return beside it back into the gate, and where it is drained a
    way out beyond the return. Where leftovers come back sorted, sidings in place of the return.

    Raises
    ------
    DesignError
        LW435: the row uses so much of a drained lane that nothing may come back. LW439: there is no
        room for so many sidings.
    """
    if parts.gate == SORTED:
        return draw_sorted_lane(draft, row, parts)
    drained = parts.gate == DRAINED
    lane, back = _lane_and_return(row, parts, DRAIN_CELLS if drained else 0)
    draft.add(lane, back)
    joint = row.frame.cell(_turn(row, parts), lane_depth(parts, 2))
    draft.add(Merge(f"{row.name} turn", joint, (lane.name,), back.name, "priority"))
    waste = (_waste_depth(parts), -1 - SUPPLY_CELLS)
    main = _draw_waste(draft, row, parts, back, waste) if drained else back
    draft.add(_loop_gate(draft, row, parts, (lane, *dict.fromkeys((back, main)))))
    return lane


def draw_pass_lane(draft: Draft, row: RowPlace, parts: Parts, end: int) -> Belt:
    """A mixed lane fed in a fixed pattern; what is left goes on beyond its last cell, u = end."""
    lane = Belt(
        f"{row.name} lane",
        row.frame.line(0, end, lane_depth(parts)),
        parts.lane_speed,
        "lane",
    )
    if parts.mixer is not None:
        return draw_mixed_lane(draft, row, parts, lane)
    height = gate_height(parts, loop=False)
    inlets = _draw_supplies(draft, row, parts, lane_depth(parts))
    pattern = level_sequence([share for _, share in parts.shares])
    draft.add(
        lane,
        Gate(
            f"{row.name} gate",
            row.frame.box(-1, lane_depth(parts) - height + 1, 1, height),
            inlets,
            lane.name,
            "ratio-locked",
            pattern=tuple(inlets[index] for index in pattern),
            power=parts.gate_power,
        ),
    )
    return lane


def draw_make_up_lane(draft: Draft, row: RowPlace, parts: Parts, collector: str) -> Belt:
    """A loop that is fed by the collector and takes its own leftovers first; or, drained, last, and
    what has no room then leaves, so that the collector never stands."""
    drained = parts.gate == DRAINED
    stop = DRAIN_CELLS if drained else 0
    lane, back = (
        replace(belt, speed=parts.collector_speed) for belt in _lane_and_return(row, parts, stop)
    )
    draft.add(lane, back)
    end = row.frame.cell(_turn(row, parts), lane_depth(parts, 2))
    draft.add(Merge(f"{row.name} turn", end, (lane.name,), back.name, "priority"))
    inlets = (back.name, collector)
    if drained:
        waste = (lane_depth(parts, 3), 1 - OUTPUT_CELLS)
        inlets = (collector, _draw_waste(draft, row, parts, back, waste).name)
    draft.add(Merge(f"{row.name} head", lane.path[0], inlets, lane.name, "priority"))
    return lane


def _turn(row: RowPlace, parts: Parts) -> int:
    """The last `u` of a loop's lane: with the row, or a cell beyond it where the last picker would
    stand at the lane's last cell, which is always passed over and never shows a carrier."""
    at_the_end = parts.width // 2 == parts.width - 1
    return row.station_end(parts) + (1 if at_the_end else 0)


def _lane_and_return(row: RowPlace, parts: Parts, stop: int = 0) -> tuple[Belt, Belt]:
    """The return ends at u = stop."""
    end = _turn(row, parts)
    lane = Belt(
        f"{row.name} lane",
        row.frame.line(0, end, lane_depth(parts)),
        parts.lane_speed,
        "lane",
    )
    back = Belt(
        f"{row.name} return",
        row.frame.line(end, stop, lane_depth(parts, 2)),
        parts.lane_speed,
        "return",
    )
    return lane, back


def _draw_waste(
    draft: Draft, row: RowPlace, parts: Parts, back: Belt, end: tuple[int, int]
) -> Belt:
    """Leftovers go to the head while there is room before it, and else to a drain by a belt at
    v = end[0] up to u = end[1]; the belt between the divert and the head."""
    depth, (outer, last) = lane_depth(parts, 2), end
    stub = Belt(f"{row.name} back", row.frame.line(DRAIN_CELLS - 1, 0, depth), back.speed, "return")
    path = (
        *(row.frame.cell(DRAIN_CELLS, v) for v in range(depth + 1, outer)),
        *row.frame.line(DRAIN_CELLS, last, outer),
    )
    waste = Belt(f"{row.name} waste", path, back.speed, "collector")
    dock = row.frame.cell(last - 1, outer)
    draft.add(
        stub,
        waste,
        Divert(
            f"{row.name} overflow", back.path[-1], back.name, (stub.name, waste.name), "overflow"
        ),
        Drain(f"{row.name} waste dock", dock, waste.name, "waste"),
    )
    return stub


def _loop_gate(draft: Draft, row: RowPlace, parts: Parts, loop: tuple[Belt, ...]) -> Gate:
    """The gate onto the first belt of `loop`; the last one comes back to it."""
    top = lane_depth(parts, 2)
    height = gate_height(parts, loop=True)
    inlets = (
        _draw_supplies(draft, row, parts, top)
        if parts.mixer is None
        else (draw_mixed_supply(draft, row, parts).name,)
    )
    cells = sum(len(belt.path) for belt in loop)
    drained = parts.gate == DRAINED
    return Gate(
        f"{row.name} gate",
        row.frame.box(-1, top - height + 1, 1, height),
        inlets,
        loop[0].name,
        "ratio-locked" if drained else parts.gate,
        main=loop[-1].name,
        shares=parts.shares,
        pattern=_pattern(row, parts, inlets, loop[-1].name),
        quotas=_quotas(row, parts, cells),
        window=cells if parts.gate == "windowed" else 0,
        loop=tuple(belt.name for belt in loop),
        power=parts.gate_power,
    )


def _pattern(row: RowPlace, parts: Parts, inlets: tuple[str, ...], main: str) -> tuple[str, ...]:
    """Inlets in the ratio of the recipe; in a drained loop what comes back has places too."""
    shares = [share for _, share in parts.shares]
    if parts.gate == "ratio-locked":
        return tuple(inlets[index] for index in level_sequence(shares))
    if parts.gate != DRAINED:
        return ()
    names = (*inlets, main)
    return tuple(names[n] for n in level_sequence(drained_places(parts, row.stations)))


def _quotas(row: RowPlace, parts: Parts, cells: int) -> tuple[tuple[str, int], ...]:
    if parts.gate in ("open", "ratio-locked", DRAINED):
        return ()
    if parts.gate == "counted":
        flows = parts.flows(row.stations)
        reach = Fraction(row_length(row.stations, parts), 2)
        found = live_quotas(flows, cells, reach, sum(flows.values(), Fraction()))
    else:
        found = shared_quotas(dict(parts.shares), cells)
    return tuple({**found, **parts.quotas}.items())


def _draw_supplies(draft: Draft, row: RowPlace, parts: Parts, top: int) -> tuple[str, ...]:
    """A dock and a supply belt for each material, stacked from `v` = top towards the stations."""
    names = []
    for number, material in enumerate(parts.inputs):
        depth = top - number
        belt = Belt(
            f"{row.name} supply {material}",
            row.frame.line(-1 - SUPPLY_CELLS, -2, depth),
            parts.lane_speed,
            "supply",
        )
        dock = row.frame.cell(-2 - SUPPLY_CELLS, depth)
        draw_dock(draft, row, material, dock, belt, parts)
        names.append(belt.name)
    return tuple(names)
