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


def largest_stray(sequence: Sequence[int], shares: Sequence[int]) -> Fraction:
    """How far the counts in any beginning of `sequence` are from their exact shares, at most.

    The sequence holds each index as often as its share, or a multiple of that, so the strays of
    its endless repetition are the same.
    """
    total = sum(shares)
    taken = [0] * len(shares)
    worst = 0
    for place, index in enumerate(sequence, 1):
        taken[index] += 1
        worst = max(
            worst,
            *(abs(total * got - place * share) for got, share in zip(taken, shares, strict=True)),
        )
    return Fraction(worst, total)


def bottleneck_sequence(shares: Sequence[int]) -> tuple[int, ...]:
    """Indexes of the shares in a sequence whose largest stray is as small as it can be.

    With a stray of at most B the j-th carrier of an index may only stand at some places, a window
    that moves on with j. Taking the carrier whose window ends first, at every place, finds a
    sequence whenever there is one; the least B that works is found by halving, for strays are
    whole multiples of 1 / total (G. Steiner and S. Yeomans, Management Science 39(6), 1993, pages
    728 to 735, from memory).
    """
    least, enough = 0, sum(shares)
    best = level_sequence(shares)
    while least < enough:
        middle = (least + enough) // 2
        found = _sequence_within(middle, shares)
        if found is None:
            least = middle + 1
        else:
            best, enough = found, middle
    return best


def _sequence_within(most: int, shares: Sequence[int]) -> tuple[int, ...] | None:
    """A sequence whose strays are at most `most` / total, if there is one."""
    total = sum(shares)
    windows = [
        (
            max(1, -(-(total * number - most) // share)),
            min(total, (total * (number - 1) + most) // share + 1),
            index,
        )
        for index, share in enumerate(shares)
        for number in range(1, share + 1)
    ]
    sequence: list[int] = []
    for place in range(1, total + 1):
        open_now = [window for window in windows if window[0] <= place]
        if not open_now:
            return None
        chosen = min(open_now, key=lambda window: (window[1], window[2]))
        if chosen[1] < place:
            return None
        windows.remove(chosen)
        sequence.append(chosen[2])
    return tuple(sequence)


def is_balanced(sequence: Sequence[int]) -> bool:
    """Whether all stretches of one length hold nearly the same counts (a difference of at most 1),
    in the endless repetition of `sequence`."""
    size = len(sequence)
    twice = [*sequence, *sequence]
    for index in set(sequence):
        for length in range(1, size):
            counts = [twice[at : at + length].count(index) for at in range(size)]
            if max(counts) - min(counts) > 1:
                return False
    return True


def balanced_sequence(shares: Sequence[int]) -> tuple[int, ...] | None:
    """The balanced sequence of the shares, if there is one; decided by trying all.

    In a balanced sequence the places of each index are those of the evenest spread, which is one
    only, up to where it begins (M. Lothaire, Algebraic Combinatorics on Words, 2002, chapter 2,
    from memory). So only the beginnings have to be tried.
    """
    total = sum(shares)
    places: list[int | None] = [None] * total

    def settle(index: int) -> bool:
        if index == len(shares):
            return True
        share = shares[index]
        spread = [number * total // share for number in range(share)]
        starts = 1 if index == 0 else total // gcd(share, total)
        for start in range(starts):
            taken = [(place + start) % total for place in spread]
            if all(places[place] is None for place in taken):
                for place in taken:
                    places[place] = index
                if settle(index + 1):
                    return True
                for place in taken:
                    places[place] = None
        return False

    return tuple(place for place in places if place is not None) if settle(0) else None
