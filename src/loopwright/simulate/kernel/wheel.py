"""The wheel of what is due: one list of actors for each slot of time."""

from __future__ import annotations

from loopwright.simulate.columns import Clock
from loopwright.simulate.kernel.jit import kernel
from loopwright.simulate.kernel.vector import item


@kernel
def schedule(clock: Clock, actor: int, due: int) -> None:
    """Put `actor` on the wheel."""
    slot = due & (clock.wheel.size - 1)
    clock.behind[actor] = item(clock.wheel, slot)
    clock.wheel[slot] = actor


@kernel
def first_of_slot(clock: Clock, now: int) -> int:
    """The first actor of the slot of `now`, -1 if none; it may be due a few turns later."""
    return int(item(clock.wheel, now & (clock.wheel.size - 1)))


@kernel
def take_slot(clock: Clock, now: int) -> int:
    """`first_of_slot`; the slot is empty afterwards."""
    first = first_of_slot(clock, now)
    clock.wheel[now & (clock.wheel.size - 1)] = -1
    return first
