"""Which supply of a material serves which taker: both lie along one line of demand."""

from __future__ import annotations

from collections import deque
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Generic, TypeVar

Supply = TypeVar("Supply", bound=Hashable)
Taker = TypeVar("Taker", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Part(Generic[Supply, Taker]):
    """`rate` [units/s] of a material that goes from one supply to one taker."""

    supply: Supply
    taker: Taker
    rate: Fraction


def share_supplies(
    supplies: Sequence[tuple[Supply, Fraction]], takers: Sequence[tuple[Taker, Fraction]]
) -> list[Part[Supply, Taker]]:
    """Supplies and takers laid end to end, each with its rate [units/s]; a supply serves the takers
    beside it.

    So there are fewer parts than supplies and takers together, and each supply shares at most its
    first and its last taker with another. What one line has more than the other stays unserved.
    """
    parts: list[Part[Supply, Taker]] = []
    left = deque((key, rate) for key, rate in supplies if rate > 0)
    for taker, needed in takers:
        missing = needed
        while missing > 0 and left:
            key, rate = left.popleft()
            taken = min(missing, rate)
            parts.append(Part(key, taker, taken))
            missing -= taken
            if rate > taken:
                left.appendleft((key, rate - taken))
    return parts
