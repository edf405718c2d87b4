"""Carrier quotas of a loop's gate.

A loop of L cells with quotas Q cannot fill up without a material m while the quotas of all others
leave room for it: sum over k != m of Q_k <= L - 2, one cell for m and one for the loop to turn.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil

from loopwright.finding import DesignError, new_finding

MOST_PLACES = 60
"""Places in the pattern of a drained loop, at most, where the recipe itself is not longer."""


def shared_quotas(shares: Mapping[str, int], cells: int) -> dict[str, int]:
    """Quotas [carriers] in the ratio of `shares` that add up to at most `cells` - 2.

    Each is at least 1.
    """
    total = sum(shares.values())
    return {name: max(1, (cells - 2) * share // total) for name, share in shares.items()}


def live_quotas(
    flows: Mapping[str, Fraction], cells: int, reach: Fraction, load: Fraction
) -> dict[str, int]:
    """Quotas [carriers] for a gate that counts the carriers now on the loop.

    `flows` [carriers per belt step] of each material, `reach` [cells] the mean way from gate to
    pick, `load` the part of the belt that the row needs. Lower end of the valid window: Little's
    law, flow x reach. Upper end: what is left of the loop, (1 - load) x cells, shared by the other
    materials. The middle is taken.
    """
    slack = max(Fraction(0), 1 - load) * cells / max(1, len(flows) - 1)
    return {name: max(1, ceil(flow * reach + slack / 2)) for name, flow in flows.items()}


def returned_share(batch: int, load: Fraction, most: Fraction = Fraction(1)) -> tuple[int, int]:
    """Times the recipe's carriers, `batch` in all, and places of what comes back, in the pattern of
    a drained loop whose row uses `load` of the lane: (k, r).

    Fresh carriers get k x batch of k x batch + r places, a share of at most `most`. They have to
    cover what is used, so the
    share of what comes back lies between 0 and 1 - load; of all patterns of up to MOST_PLACES
    places the one with the largest such share is taken, as it wastes least; the shortest of equal
    ones.

    Raises
    ------
    DesignError
        LW435: there is no such pattern.
    """
    found = [
        (Fraction(back, times * batch + back), times, back)
        for times in range(1, max(1, MOST_PLACES // batch) + 1)
        for back in range(1, max(2, MOST_PLACES - times * batch + 1))
        if 1 - most <= Fraction(back, times * batch + back) <= 1 - load
    ]
    if not found:
        least = Fraction(1, max(batch, MOST_PLACES // batch * batch) + 1)
        finding = new_finding(
            "LW435",
            "a row uses so much of its lane that no share is left for what comes back",
            value=f"{load} of the lane",
            allowed=f"{1 - least} in a drained loop",
        )
        raise DesignError((finding,))
    _, times, back = max(found, key=lambda one: (one[0], -one[1]))
    return times, back
