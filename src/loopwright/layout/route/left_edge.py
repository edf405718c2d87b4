"""Tracks for the nets of a channel by the left edge.

It takes exactly as many tracks as the density: A. Hashimoto and J. Stevens, Wire routing by
optimizing channel assignment within large apertures, Proceedings of the 8th Design Automation
Workshop, 1971.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from loopwright.layout.route.channel import Channel


@dataclass(frozen=True, slots=True)
class Tracks:
    """Track of each net, counted from 0; `density` is the least possible."""

    track: Mapping[str, int]
    density: int

    @property
    def count(self) -> int:
        """Tracks used."""
        return max(self.track.values(), default=-1) + 1

    @property
    def excess(self) -> int:
        """Tracks beyond the density."""
        return self.count - self.density

    def text(self) -> str:
        """The count beside its lower bound, in one line."""
        return f"{self.count} tracks, density {self.density}, excess {self.excess}"


def assign_tracks(channel: Channel) -> Tracks:
    """Tracks for all nets of `channel`: each track is filled from its left edge, with the next net
    that begins after the last one ended."""
    left = sorted((span, net) for net, span in channel.spans().items())
    track: dict[str, int] = {}
    number = 0
    while left:
        kept = []
        end: int | None = None
        for (first, last), net in left:
            if end is None or first > end:
                track[net] = number
                end = last
            else:
                kept.append(((first, last), net))
        left = kept
        number += 1
    return Tracks(track, channel.density)
