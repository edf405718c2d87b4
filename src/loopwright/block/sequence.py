"""Level sequences: how a gate's pattern spreads the materials evenly."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import gcd, lcm


def whole_shares(carriers: Sequence[Fraction]) -> tuple[int, ...]:
    """The smallest whole numbers in the ratio of `carriers` (all > 0)."""
    scale = lcm(*(share.denominator for share in carriers))
    whole = [int(share * scale) for share in carriers]
    common = gcd(*whole)
    return tuple(share // common for share in whole)


def level_sequence(shares: Sequence[int]) -> tuple[int, ...]:
    """Indexes of the shares, each as often as its share, spread evenly.

    At every place the index with the largest share / (2 x taken + 1) goes next, ties to the first
    (Webster's divisors 1, 3, 5, ...; as sequencer: from memory of the apportionment literature).
    """
    taken = [0] * len(shares)
    sequence = []
    for _ in range(sum(shares)):
        best = max(
            (index for index in range(len(shares)) if taken[index] < shares[index]),
            key=lambda index: (Fraction(shares[index], 2 * taken[index] + 1), -index),
        )
        taken[best] += 1
        sequence.append(best)
    return tuple(sequence)
