"""A ratio -> the mixer with the fewest devices."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from loopwright.block.mixer.mixer import Mixer
from loopwright.block.mixer.search import MOST_DEVICES, fewest_devices
from loopwright.block.mixer.seat import seated_tree
from loopwright.block.sequence import whole_shares

FEWEST_MATERIALS, MOST_MATERIALS = 2, 6
LARGEST_TOTAL = 24
"""Carriers in one recipe, in lowest terms."""


class RatioError(ValueError):
    """A ratio for which no mixer is looked for; the message says what is allowed."""


def lowest_terms(ratio: Mapping[str, int | Fraction]) -> tuple[tuple[str, int], ...]:
    """The shares of `ratio` as the smallest whole numbers, in the order given.

    Raises
    ------
    RatioError
        A share is not above 0, or there are too few or too many materials or carriers.
    """
    if not FEWEST_MATERIALS <= len(ratio) <= MOST_MATERIALS:
        raise RatioError(
            f"a mix has {FEWEST_MATERIALS} to {MOST_MATERIALS} materials, this one {len(ratio)}"
        )
    wrong = [f"{name} {share}" for name, share in ratio.items() if share <= 0]
    if wrong:
        raise RatioError(f"each share is above 0, unlike {', '.join(wrong)}")
    shares = whole_shares([Fraction(share) for share in ratio.values()])
    if sum(shares) > LARGEST_TOTAL:
        lowest = ":".join(map(str, shares))
        raise RatioError(
            f"in lowest terms, {lowest}, the shares add up to {sum(shares)}; "
            f"at most {LARGEST_TOTAL} are allowed"
        )
    return tuple(zip(ratio, shares, strict=True))


def design_mixer(ratio: Mapping[str, int | Fraction], least_rate: Fraction = Fraction(0)) -> Mixer:
    """The mixer of `ratio` [carriers of each material] with the fewest devices.

    Fewest among all trees of 2- and 3-way merges by turns, each of whose leaves draws from the
    lane of one material or from the tree's own output, with a net rate of at least `least_rate`
    [of a belt]; other circuits are not looked at. Among equals the one with the highest net rate,
    then with the fewest leaves, then with the evenest product.

    Raises
    ------
    RatioError
        As `lowest_terms`; or no mixer of at most MOST_DEVICES has so high a net rate.
    """
    shares = lowest_terms(ratio)
    falling = sorted(shares, key=lambda entry: -entry[1])
    counts = [share for _, share in falling]
    found = fewest_devices(counts, least_rate)
    if found is None:
        raise RatioError(
            f"no mixer of at most {MOST_DEVICES} devices passes {least_rate} of a belt; "
            "ask for less, or take a pattern gate"
        )
    return Mixer(shares, seated_tree([name for name, _ in falling], counts, found[1]))
