"""The search for the fewest devices: every profile of leaves, every way to share them out.

For a number of devices, all profiles are tried with as many merges and, with what is left, as many
diverts as it allows. A profile fits if its leaves can be shared out so that the weights of the
materials are in the ratio of their shares; what is left over are feedback leaves. The first number
of devices with a fit is therefore the least of all trees of this kind.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from loopwright.block.mixer.mixer import splits
from loopwright.block.mixer.shape import Profile, common_round, profiles

MOST_DEVICES = 12
"""Enough for every ratio of 2 to 6 materials whose shares add up to at most 24."""

Pick = tuple[int, ...]
"""How many leaves of each weight; weights as in `Fit.weights`."""


@dataclass(frozen=True, slots=True)
class Fit:
    """A profile with its leaves shared out.

    `weights` are the denominators that occur, in rising order; `picks` says how many leaves of
    each weight go to each material, in the order of the shares, and at last to the feedback.
    """

    merges: int
    profile: Profile
    weights: tuple[int, ...]
    picks: tuple[Pick, ...]

    @property
    def feedback(self) -> Fraction:
        """Weight of the feedback leaves."""
        pairs = zip(self.picks[-1], self.weights, strict=True)
        return sum((Fraction(count, weight) for count, weight in pairs), Fraction(0))


def fewest_devices(
    shares: Sequence[int], least_rate: Fraction = Fraction(0)
) -> tuple[int, tuple[Fit, ...]] | None:
    """The least number of devices that mixes `shares` (falling, in lowest terms), and its fits.

    The net rate is at least `least_rate` [of a belt]. Of the fits only those are given that feed
    back least and, of those, have the fewest leaves. None if no more than MOST_DEVICES do it.
    """
    for devices in range(1, MOST_DEVICES + 1):
        fits = list(_all_fits(shares, devices, 1 - least_rate))
        if fits:
            best = min((fit.feedback, len(fit.profile)) for fit in fits)
            found = (fit for fit in fits if (fit.feedback, len(fit.profile)) == best)
            return devices, tuple(found)
    return None


def _all_fits(shares: Sequence[int], devices: int, most_back: Fraction) -> Iterator[Fit]:
    """All fits of so many devices that feed back at most `most_back` of what the root passes."""
    for merges in range(1, devices + 1):
        most = len(shares) + 2 * (devices - merges)  # each divert makes at most 2 leaves more
        if merges + 1 > most:  # and each merge at least 1
            return
        for profile in profiles(merges):
            if len(shares) <= len(profile) <= most:
                yield from _fits(merges, profile, shares, devices - merges, most_back)


def _fits(
    merges: int, profile: Profile, shares: Sequence[int], diverts: int, most_back: Fraction
) -> Iterator[Fit]:
    """All ways to share out the leaves of `profile` with so many diverts."""
    whole, total = common_round(profile), sum(shares)
    stock = Counter(profile)
    weights = tuple(sorted(stock))
    parts = tuple(whole // weight for weight in weights)
    counts = tuple(stock[weight] for weight in weights)
    for back in range(whole % total, min(whole - 1, int(most_back * whole)) + 1, total):
        goals = [share * ((whole - back) // total) for share in shares]
        if not _may_fit(parts, goals, back, len(profile), diverts):
            continue
        for pick in _picks(counts, parts, back, 2 * diverts):
            left = diverts - splits(1 + sum(pick))
            for picks in _shared_out(_less(counts, pick), parts, goals, left, None):
                yield Fit(merges, profile, weights, (*picks, pick))


def _may_fit(
    parts: tuple[int, ...], goals: Sequence[int], back: int, leaves: int, diverts: int
) -> bool:
    """Whether leaves and diverts would do if there were any number of leaves of each weight."""
    least = [_fewest_parts(parts, goal) for goal in goals]
    least_back = _fewest_parts(parts, back)
    if least_back is None or None in least:
        return False
    known = [count for count in least if count is not None]
    return (
        sum(known) + least_back <= leaves
        and sum(map(splits, known)) + splits(1 + least_back) <= diverts
    )


@cache
def _fewest_parts(parts: tuple[int, ...], goal: int) -> int | None:
    """The fewest of `parts`, each as often as one likes, that add up to `goal`."""
    reached, count = 1, 0  # bit k is set if k is the sum of so many parts, or fewer
    while not reached >> goal & 1:
        more = reached
        for part in parts:
            more |= reached << part
        more &= (2 << goal) - 1
        if more == reached:
            return None
        reached, count = more, count + 1
    return count


def _shared_out(
    counts: Pick, parts: Sequence[int], goals: Sequence[int], diverts: int, before: Pick | None
) -> Iterator[tuple[Pick, ...]]:
    """Picks for all `goals`; of materials with equal goals the first has the larger pick.

    `before` is the pick of the material before, if its goal was the same.
    """
    if not goals:
        yield ()
        return
    for pick in _picks(counts, parts, goals[0], 1 + 2 * diverts):
        left = diverts - splits(sum(pick))
        if left < 0 or (before is not None and pick > before):
            continue
        same = len(goals) > 1 and goals[1] == goals[0]
        rest = _shared_out(_less(counts, pick), parts, goals[1:], left, pick if same else None)
        for others in rest:
            yield (pick, *others)


def _picks(counts: Pick, parts: Sequence[int], goal: int, most: int) -> Iterator[Pick]:
    """All picks of at most `most` leaves whose parts add up to `goal`."""
    if not counts:
        if not goal:
            yield ()
        return
    for count in range(min(counts[0], most, goal // parts[0]) + 1):
        rest = goal - count * parts[0]
        for others in _picks(counts[1:], parts[1:], rest, most - count):
            yield (count, *others)


def _less(counts: Pick, pick: Pick) -> Pick:
    return tuple(count - taken for count, taken in zip(counts, pick, strict=True))
