"""Gates: which fresh carrier may enter a loop."""

from __future__ import annotations

from loopwright.simulate.columns import RATIO, SCARCEST, WINDOWED, Belts, Gates, Joints
from loopwright.simulate.kernel.belt import bit_of, look_at_head
from loopwright.simulate.kernel.jit import kernel
from loopwright.simulate.kernel.vector import item, lowest


@kernel
def counted(belts: Belts, gates: Gates, gate: int, alike: int, windowed: bool) -> int:
    """Carriers of the bits of `alike` that `gate` counts: in its window or on its loop."""
    count = 0
    while alike:
        bit = lowest(alike)
        alike &= alike - 1
        if windowed:
            count += gates.window_count[gate, bit]
        else:
            for place in range(item(gates.rows, gate).loop_first, item(gates.rows, gate).loop_last):
                count += belts.on_belt[item(gates.loop, place), bit]
    return count


@kernel
def next_of_pattern(belts: Belts, joints: Joints, gates: Gates, joint: int) -> int:
    """Ratio-locked: the inlet at the place of the pattern if it has a carrier, else -1; places of
    main are left out while it has none."""
    row = item(joints.rows, joint)
    gate = item(gates.rows, row.gate)
    while True:
        inlet = int(item(gates.pattern, gate.pattern_first + row.turn))
        waits = look_at_head(belts, item(joints.inlets, row.inlet_first + inlet).belt)
        if not waits and inlet < row.fresh:
            return -1
        row.turn += 1
        if gate.pattern_first + row.turn == gate.pattern_last:
            row.turn = 0
        if waits:
            return inlet


@kernel
def choose_fresh(belts: Belts, joints: Joints, gates: Gates, joint: int) -> int:
    """The fresh inlet that passes by the rule of the gate, -1 if none; its turn moves on."""
    row = item(joints.rows, joint)
    if row.rule == RATIO:
        return next_of_pattern(belts, joints, gates, joint)
    best = -1
    best_count = 0
    best_share = 1
    choice = 0
    if row.rule != SCARCEST:
        choice = row.turn
    for _ in range(row.fresh):
        inlet = item(joints.inlets, row.inlet_first + choice).belt
        code = look_at_head(belts, inlet)
        after = choice + 1
        if after == row.fresh:
            after = 0
        if code:
            bit = bit_of(code)
            alike = int(belts.alike[item(belts.rows, inlet).palette, bit])
            count = counted(belts, gates, row.gate, alike, row.rule == WINDOWED)
            if count < gates.quota[row.gate, bit]:
                if row.rule != SCARCEST:
                    row.turn = after
                    return choice
                share = gates.share[row.gate, bit]
                if best < 0 or count * best_share < best_count * share:
                    best = choice
                    best_count = count
                    best_share = share
        choice = after
    return best


@kernel
def note_window(gates: Gates, gate: int, bit: int) -> None:
    """One more action of `gate`, which passed `bit` (-1: nothing); the oldest is forgotten."""
    row = item(gates.rows, gate)
    span = row.window_last - row.window_first
    if span == 0:
        return
    place = row.window_first + row.window_at
    oldest = item(gates.window, place)
    if oldest >= 0:
        gates.window_count[gate, oldest] -= 1
    gates.window[place] = bit
    if bit >= 0:
        gates.window_count[gate, bit] += 1
    row.window_at += 1
    if row.window_at == span:
        row.window_at = 0
