"""A channel: a strip along which belts run on tracks, side by side.

Places along the channel are whole numbers. A net runs along the channel on a track, and across it
at each of its pins.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

PITCH = 2
"""Cells from track to track: beside each one a free cell, where a bridge comes down [cells]."""


@dataclass(frozen=True, slots=True)
class Pin:
    """Where `net` leaves the channel: at place `at`, which is its own."""

    net: str
    at: int


@dataclass(frozen=True, slots=True)
class Channel:
    """All pins of a channel.

    Raises
    ------
    ValueError
        Two pins lie at the same place.
    """

    pins: tuple[Pin, ...]

    def __post_init__(self) -> None:
        """Check that each place holds one pin."""
        if len({pin.at for pin in self.pins}) < len(self.pins):
            raise ValueError("two pins lie at one place of the channel")

    def spans(self) -> dict[str, tuple[int, int]]:
        """First and last place of each net that has more than one; others go straight across."""
        places: dict[str, list[int]] = defaultdict(list)
        for pin in self.pins:
            places[pin.net].append(pin.at)
        return {net: (min(at), max(at)) for net, at in places.items() if min(at) != max(at)}

    @property
    def density(self) -> int:
        """The most nets that lie side by side at any place: no assignment has fewer tracks."""
        spans = self.spans().values()
        beside = (sum(first <= place <= last for first, last in spans) for place, _ in spans)
        return max(beside, default=0)
