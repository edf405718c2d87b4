"""Who goes before whom: the order of names and the order in which belts step."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from math import gcd


def natural(name: str) -> tuple[list[tuple[int, int, str]], str]:
    """Sort key of a name: runs of digits compare as numbers, other runs as text."""
    runs = [run for run in re.split(r"(\d+)", name) if run]
    return [(0, int(run), "") if run.isdecimal() else (1, 0, run) for run in runs], name


def common_tick(times: Iterable[Fraction]) -> Fraction:
    """The greatest common divisor of `times` [s]; 1 s if there are none."""
    tick = Fraction(0)
    for time in times:
        numerator = gcd(tick.numerator * time.denominator, time.numerator * tick.denominator)
        tick = Fraction(numerator, tick.denominator * time.denominator)
    return tick or Fraction(1)


def belt_order(downstream: Mapping[str, set[str]]) -> tuple[list[str], list[str]]:
    """Belts in the order in which they step, downstream first, and the breaks of rings.

    `downstream` gives for every belt the belts that its head feeds.
    """
    order: list[str] = []
    breaks: list[str] = []
    waiting = sorted(downstream, key=natural)
    while waiting:
        unplaced = set(waiting)
        free = [belt for belt in waiting if not downstream[belt] & unplaced]
        if free:
            chosen = free[0]
        else:
            chosen = next(belt for belt in waiting if _lies_on_ring(belt, downstream, unplaced))
            breaks.append(chosen)
        order.append(chosen)
        waiting.remove(chosen)
    return order, breaks


def _lies_on_ring(start: str, downstream: Mapping[str, set[str]], among: set[str]) -> bool:
    """Whether the belts fed by `start`, directly or through others of `among`, include it."""
    seen: set[str] = set()
    ahead = downstream[start] & among
    while ahead:
        seen |= ahead
        ahead = {after for belt in ahead for after in downstream[belt] & among} - seen
    return start in seen
