"""Which docks serve which rows: both lie along one line of demand."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate


def share_docks(
    demands: Sequence[Fraction], docks: Sequence[Fraction]
) -> tuple[tuple[int, ...], ...]:
    """For each demand the numbers of the docks that serve it, in order.

    Demands and docks are laid end to end, docks stretched so that both lines are equally long;
    a dock serves what lies beside it. So a dock serves rows side by side, it shares at most its
    first and last with its neighbours, and where the docks suffice each is asked for at most what
    it has. Both in one unit, all positive.
    """
    stretch = sum(demands, Fraction(0)) / sum(docks, Fraction(0))
    ends = list(accumulate(dock * stretch for dock in docks))
    served: list[tuple[int, ...]] = []
    begin = Fraction(0)
    for demand in demands:
        end = begin + demand
        beside = [
            number
            for number, last in enumerate(ends)
            if last > begin and (ends[number - 1] if number else Fraction(0)) < end
        ]
        served.append(tuple(beside))
        begin = end
    return tuple(served)
