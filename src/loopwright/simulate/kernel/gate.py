"""Gates: which fresh carrier may enter a loop."""

from __future__ import annotations

from loopwright.simulate.columns import RATIO, SCARCEST, WINDOWED, Belts, Gates, Joints
from loopwright.simulate.kernel.belt import bit_of, look, look_at_head
from loopwright.simulate.kernel.jit import kernel


@kernel
def on_loop(belts: Belts, gates: Gates, gate: int, bit: int) -> int:
    """Carriers of the material of `bit` on the loop of `gate`."""
    count = 0
    for row in range(gates.loop_first[gate], gates.loop_first[gate + 1]):
        belt = gates.loop[row]
        for index in range(belts.length[belt]):
            code = look(belts, belt, index)
            if code and bit_of(code) == bit:
                count += 1
    return count


@kernel
def pick_fresh(belts: Belts, joints: Joints, gates: Gates, joint: int) -> int:
    """The fresh inlet that passes by the rule of the gate, -1 if none; its turn moves on."""
    gate = joints.gate[joint]
    first = joints.first[joint]
    fresh = joints.fresh[joint]
    rule = joints.rule[joint]
    turn = joints.turn[joint]

    if rule == RATIO:
        place = gates.pattern_first[gate] + turn
        inlet = gates.pattern[place]
        if look_at_head(belts, joints.inlet[first + inlet]) == 0:
            return -1
        place += 1
        joints.turn[joint] = 0 if place == gates.pattern_first[gate + 1] else turn + 1
        return inlet

    best = -1
    best_count = 0
    best_share = 1
    choice = 0 if rule == SCARCEST else turn
    for _ in range(fresh):
        code = look_at_head(belts, joints.inlet[first + choice])
        after = choice + 1
        if after == fresh:
            after = 0
        if code:
            bit = bit_of(code)
            if rule == WINDOWED:
                count = gates.window_count[gate, bit]
            else:
                count = on_loop(belts, gates, gate, bit)
            if count < gates.quota[gate, bit]:
                if rule != SCARCEST:
                    joints.turn[joint] = after
                    return choice
                share = gates.share[gate, bit]
                if best < 0 or count * best_share < best_count * share:
                    best, best_count, best_share = choice, count, share
        choice = after
    return best


@kernel
def note_window(gates: Gates, gate: int, bit: int) -> None:
    """One more action of `gate`, which passed `bit` (-1: nothing); the oldest is forgotten."""
    first = gates.window_first[gate]
    span = gates.window_first[gate + 1] - first
    if span == 0:
        return
    at = gates.window_at[gate]
    oldest = gates.window[first + at]
    if oldest >= 0:
        gates.window_count[gate, oldest] -= 1
    gates.window[first + at] = bit
    if bit >= 0:
        gates.window_count[gate, bit] += 1
    at += 1
    gates.window_at[gate] = 0 if at == span else at
