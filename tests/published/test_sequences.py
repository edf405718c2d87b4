"""Level sequences: Monden; Steiner and Yeomans; Brauner and Crama; Tijdeman; Webster; Fraenkel.

Goal chasing: Y. Monden, Toyota Production System, 1983, appendix (from memory, recomputed here).
Bottleneck values: W. Kubiak, Proportional Optimization and Fairness, Springer 2009, chapter 5
(definition seen; bounds from memory: N. Brauner and Y. Crama 2004; R. Tijdeman, the chairman
assignment problem, 1980; G. Steiner and S. Yeomans, Management Science 39(6), 1993, 728-735).
Seats by Webster's divisors: electowiki.org, Sainte-Lague method, and
staatsrecht.honikel.de, worked examples. Balanced words: en.xen.wiki, Fraenkel word.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from loopwright.block.sequence import (
    balanced_sequence,
    bottleneck_sequence,
    is_balanced,
    largest_stray,
    level_sequence,
)
from tests.layouts.ratios import Ratio, reduced_ratios

PRODUCTS = {"A": 2, "B": 3, "C": 5}
PARTS = {"A": (1, 0, 1, 1), "B": (1, 1, 0, 1), "C": (0, 1, 1, 0)}
NEEDED = (5, 8, 7, 5)


def squared_distance(place: int, used: tuple[int, ...]) -> Fraction:
    """Of the parts used so far from their even use, squared."""
    return sum(
        ((Fraction(place * need, 10) - got) ** 2 for need, got in zip(NEEDED, used, strict=True)),
        Fraction(0),
    )


def goal_chasing() -> tuple[str, list[Fraction]]:
    """Monden's rule: next goes the product whose parts stay nearest to even use; ties to the
    first listed. The sequence, and the squared distance after each place."""
    left, used = dict(PRODUCTS), (0,) * len(NEEDED)
    sequence, distances = "", []
    for place in range(1, 11):
        tries = {
            name: tuple(got + part for got, part in zip(used, PARTS[name], strict=True))
            for name, count in left.items()
            if count
        }
        best = min(tries, key=lambda name: squared_distance(place, tries[name]))
        used = tries[best]
        left[best] -= 1
        sequence += best
        distances.append(squared_distance(place, used))
    return sequence, distances


def rounded_root(square: Fraction) -> Decimal:
    """The root to two places, as printed."""
    root = (Decimal(square.numerator) / Decimal(square.denominator)).sqrt()
    return root.quantize(Decimal("0.01"))


def test_goal_chasing() -> None:
    first = [squared_distance(1, PARTS[name]) for name in "ABC"]
    assert list(map(str, map(rounded_root, first))) == ["1.11", "1.01", "0.79"]
    sequence, distances = goal_chasing()
    assert sequence == "CBACBCCABC"
    printed = [".79", ".57", ".82", ".28", ".87", ".28", ".82", ".57", ".79", "0"]
    assert list(map(rounded_root, distances)) == list(map(Decimal, printed))


def test_webster_gives_the_sequence_of_goal_chasing() -> None:
    sequence, _ = goal_chasing()
    assert "".join("ABC"[index] for index in level_sequence((2, 3, 5))) == sequence


@pytest.mark.parametrize(
    ("shares", "least"),
    [
        ((2, 3, 5), Fraction(1, 2)),
        ((1, 1, 1), Fraction(2, 3)),
        ((1, 2, 4), Fraction(3, 7)),
    ],
)
def test_bottleneck_values(shares: Ratio, least: Fraction) -> None:
    assert largest_stray(bottleneck_sequence(shares), shares) == least


@pytest.mark.parametrize("shares", list(reduced_ratios(range(2, 6), 13))[::2])
def test_bottleneck_bounds(shares: Ratio) -> None:
    total, least = sum(shares), largest_stray(bottleneck_sequence(shares), shares)
    assert least >= 1 - Fraction(max(shares), total)
    assert least <= 1 - Fraction(1, total)  # Brauner and Crama
    assert least <= 1 - Fraction(1, 2 * (len(shares) - 1))  # Tijdeman
    assert least < 1  # Steiner and Yeomans


@pytest.mark.parametrize(
    ("votes", "seats", "won"),
    [((503, 304, 193), 35, (17, 11, 7)), ((6100, 5000, 900), 10, (5, 4, 1))],
)
def test_seats_by_websters_divisors(votes: Ratio, seats: int, won: Ratio) -> None:
    sequence = level_sequence(votes)[:seats]
    assert tuple(sequence.count(party) for party in range(3)) == won


def fraenkel_word(letters: int) -> tuple[int, ...]:
    """F(n) = F(n-1) n F(n-1)."""
    word: tuple[int, ...] = ()
    for letter in range(letters):
        word = (*word, letter, *word)
    return word


def test_fraenkel_words_are_balanced() -> None:
    assert fraenkel_word(3) == (0, 1, 0, 2, 0, 1, 0)
    assert len(fraenkel_word(4)) == 15
    assert is_balanced(fraenkel_word(3))
    assert is_balanced(fraenkel_word(4))


def test_three_unequal_rates_are_balanced_in_one_ratio_only() -> None:
    unequal = [
        shares for shares in reduced_ratios(range(3, 4), 13) if len(set(shares)) == len(shares)
    ]
    assert [shares for shares in unequal if balanced_sequence(shares)] == [(4, 2, 1)]
