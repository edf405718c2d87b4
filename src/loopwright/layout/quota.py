"""Carrier quotas of a loop's gate.

A loop of L cells with quotas Q cannot fill up without a material m while the quotas of all others
leave room for it: sum over k != m of Q_k <= L - 2, one cell for m and one for the loop to turn.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil


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
