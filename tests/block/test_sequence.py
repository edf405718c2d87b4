"""Level, bottleneck and balanced sequences, beside plain searches."""

from __future__ import annotations

from fractions import Fraction
from itertools import permutations

import pytest

from loopwright.block.sequence import (
    balanced_sequence,
    bottleneck_sequence,
    is_balanced,
    largest_stray,
    level_sequence,
)
from tests.layouts.ratios import Ratio, reduced_ratios

SMALL = [*reduced_ratios(range(2, 4), 7), *reduced_ratios(range(4, 5), 6)]
RATIOS = list(reduced_ratios(range(2, 5), 12))


def all_sequences(shares: Ratio) -> set[tuple[int, ...]]:
    letters = [index for index, share in enumerate(shares) for _ in range(share)]
    return set(permutations(letters))


def least_stray(shares: Ratio) -> Fraction:
    """By going through all counts that can be reached: place by place."""
    total = sum(shares)
    best = {(0,) * len(shares): Fraction(0)}
    for place in range(1, total + 1):
        after: dict[Ratio, Fraction] = {}
        for taken, worst in best.items():
            for index, share in enumerate(shares):
                if taken[index] == share:
                    continue
                now = tuple(got + (at == index) for at, got in enumerate(taken))
                strays = [
                    abs(got - Fraction(place * part, total))
                    for got, part in zip(now, shares, strict=True)
                ]
                reached = max(worst, *strays)
                after[now] = min(reached, after.get(now, reached))
        best = after
    return best[tuple(shares)]


@pytest.mark.parametrize("shares", RATIOS[::3])
def test_no_sequence_strays_less_than_the_bottleneck_sequence(shares: Ratio) -> None:
    sequence = bottleneck_sequence(shares)
    assert [sequence.count(index) for index in range(len(shares))] == list(shares)
    assert largest_stray(sequence, shares) == least_stray(shares)
    assert largest_stray(level_sequence(shares), shares) >= least_stray(shares)


def test_the_stray_counts_every_beginning() -> None:
    assert largest_stray((0, 1), (1, 1)) == Fraction(1, 2)
    assert largest_stray((0, 0, 1, 1), (1, 1)) == 1


@pytest.mark.parametrize("shares", SMALL)
def test_a_balanced_sequence_is_found_whenever_there_is_one(shares: Ratio) -> None:
    found = balanced_sequence(shares)
    there_is = any(is_balanced(sequence) for sequence in all_sequences(shares))
    assert (found is not None) == there_is


@pytest.mark.parametrize("shares", RATIOS)
def test_a_balanced_sequence_is_balanced_and_has_the_shares(shares: Ratio) -> None:
    found = balanced_sequence(shares)
    if len(shares) == 2:
        assert found is not None
    if found is not None:
        assert is_balanced(found)
        assert [found.count(index) for index in range(len(shares))] == list(shares)
