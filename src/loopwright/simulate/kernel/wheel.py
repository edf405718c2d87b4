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
def take_slot(clock: Clock, now: int) -> int:
    """The first actor of the slot of `now`, -1 if none; the slot is empty afterwards."""
    slot = now & (clock.wheel.size - 1)
    first = item(clock.wheel, slot)
    clock.wheel[slot] = -1
    return int(first)
