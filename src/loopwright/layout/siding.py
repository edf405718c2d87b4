"""How long a siding has to be, so that it is never full.

Leftovers of material m come to the siding's tail `row` cells behind a ratio-locked gate, and wait
at its head until the gate has room for m. While fresh m enters, the siding holds only what came to
it within its own length, so row and siding together hold at most the m of row + siding places of
the gate's pattern; see docs/theory/prove.md, theorem siding.
"""

from __future__ import annotations

from collections.abc import Sequence


def most_in(pattern: Sequence[int], index: int, places: int) -> int:
    """How often `index` stands in so many `places`, one after the other, of the endless repetition
    of `pattern`, at most."""
    whole, rest = divmod(places, len(pattern))
    twice = [*pattern, *pattern]
    stretches = (twice[begin : begin + rest] for begin in range(len(pattern)))
    return whole * pattern.count(index) + max(part.count(index) for part in stretches)


def least_siding(pattern: Sequence[int], index: int, row: int) -> int:
    """The least cells of a siding that is never full, `row` cells behind the gate.

    Raises
    ------
    ValueError
        The pattern holds nothing else.
    """
    if all(place == index for place in pattern):
        raise ValueError("a pattern of one material has nothing to sort")
    siding = 2
    while most_in(pattern, index, row + siding) >= siding:
        siding += 1
    return siding
