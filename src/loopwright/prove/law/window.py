"""Between which numbers the quotas of a gate have to lie.

Below the lower end a material is let in more slowly than it is used; above the upper end it leaves
no place for another, or, where the gate counts the loop, not enough for it after an outage.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor

from loopwright.prove.law.terms import Terms, terms_of
from loopwright.prove.ring import Ring

COUNTING = ("windowed", "counted", "scarcest-first")
"""Gates that look at quotas."""


@dataclass(frozen=True, slots=True)
class Window:
    """Quotas [carriers] from `least` to `most` will do while the others are at their least."""

    least: int
    most: int


def quota_windows(ring: Ring) -> dict[str, Window] | None:
    """The window of each input of `ring`; None where no law speaks of its gate.

    A window is empty (`most` below `least`) where the loop is too short for its row.
    """
    terms = terms_of(ring)
    if terms is None or ring.rule not in COUNTING:
        return None
    least = {name: _least(ring, terms, name) for name in terms.needs}
    return {name: Window(least[name], _most(ring, terms, least, name)) for name in terms.needs}


def common_windows(rings: Sequence[Ring]) -> dict[str, Window] | None:
    """Windows that hold for all of `rings` at once."""
    found = [windows for ring in rings if (windows := quota_windows(ring)) is not None]
    if not found or len(found) < len(rings) or len({tuple(one) for one in found}) > 1:
        return None
    return {
        name: Window(
            max(windows[name].least for windows in found),
            min(windows[name].most for windows in found),
        )
        for name in found[0]
    }


def fitting_quotas(rings: Sequence[Ring]) -> dict[str, int] | None:
    """Quotas inside the windows of all of `rings`: the least, and what the shortest loop has left
    beyond them shared out in the ratio of the recipe; None where there are none."""
    windows = common_windows(rings)
    if windows is None:
        return None
    least = {name: window.least for name, window in windows.items()}
    room = min(ring.cells for ring in rings) - 2 - sum(least.values())
    if room < 0 or any(window.most < window.least for window in windows.values()):
        return None
    shares = dict(rings[0].shares)
    total = sum(shares[name] for name in windows)
    return {
        name: min(window.most, window.least + room * shares[name] // total)
        for name, window in windows.items()
    }


def _least(ring: Ring, terms: Terms, name: str) -> int:
    """Windowed: what all stations use in a turn, and the carriers that a window longer than a turn
    keeps out. Others: Little's law, use x way to a picker."""
    if ring.rule == "windowed":
        return ceil(terms.carriers(name) * terms.places) + ring.window - terms.places
    return max(1, ceil(terms.carriers(name) * terms.reach))


def _most(ring: Ring, terms: Terms, least: Mapping[str, int], name: str) -> int:
    others = [least[other] for other in least if other != name]
    if ring.rule == "windowed":
        return ring.cells - 2 - sum(others)
    most = ring.cells - 2 - (sum(others) - min(others, default=0))
    if ring.rule == "counted":
        spare = (1 - terms.load) * terms.places / max(1, len(others))
        most = min(most, floor(terms.carriers(name) * terms.reach + spare))
    return most
