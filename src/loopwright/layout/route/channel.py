"""A channel: a strip with pins along both its sides, to be joined net by net.

Places along the channel are whole numbers. A net runs along the channel on a track, and across it
at each of its pins, to the side where that lies.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Side = Literal["near", "far"]


@dataclass(frozen=True, slots=True)
class Pin:
    """The end of `net` on one side of the channel, at place `at`; no two ends share a place and
    side."""

    net: str
    side: Side
    at: int


@dataclass(frozen=True, slots=True)
class Piece:
    """What lies on one track: `net` from place `first` to place `last`, both included.

    A net whole has one piece, number 0; a net cut at places has one more than cuts.
    """

    net: str
    number: int
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Channel:
    """All pins of a channel.

    Raises
    ------
    ValueError
        Two pins lie on the same place and side.
    """

    pins: tuple[Pin, ...]

    def __post_init__(self) -> None:
        """Check that each place holds one pin a side."""
        if len({(pin.side, pin.at) for pin in self.pins}) < len(self.pins):
            raise ValueError("two pins lie on one place and side of the channel")

    def spans(self) -> dict[str, tuple[int, int]]:
        """First and last place of each net."""
        places: dict[str, list[int]] = defaultdict(list)
        for pin in self.pins:
            places[pin.net].append(pin.at)
        return {net: (min(found), max(found)) for net, found in places.items()}

    def whole_pieces(self) -> list[Piece]:
        """A piece for each net that lies on more than one place; the others go straight across."""
        return [
            Piece(net, 0, first, last)
            for net, (first, last) in self.spans().items()
            if first != last
        ]

    @property
    def density(self) -> int:
        """The most nets that lie side by side at any place: no assignment has fewer tracks."""
        return density_of(self.whole_pieces())


def density_of(pieces: Iterable[Piece]) -> int:
    """The most of `pieces` that share a place, a net counted once."""
    held = list(pieces)
    most = 0
    for place in {piece.first for piece in held}:
        nets = {piece.net for piece in held if piece.first <= place <= piece.last}
        most = max(most, len(nets))
    return most


def constraints(channel: Channel, pieces: Iterable[Piece]) -> dict[Piece, set[Piece]]:
    """For each piece those that must lie nearer: the vertical constraint graph.

    Where pins of two nets face each other, the one with the near pin comes from the near side and
    the one with the far pin leaves to the far side; they do not meet only if the first turns first.
    """
    held = list(pieces)
    near = {pin.at: pin.net for pin in channel.pins if pin.side == "near"}
    far = {pin.at: pin.net for pin in channel.pins if pin.side == "far"}
    at: dict[tuple[str, int], list[Piece]] = defaultdict(list)
    facing = sorted(place for place in near.keys() & far.keys() if near[place] != far[place])
    for place in facing:
        for piece in held:
            if piece.net in (near[place], far[place]) and piece.first <= place <= piece.last:
                at[piece.net, place].append(piece)
    nearer: dict[Piece, set[Piece]] = {piece: set() for piece in held}
    for place in facing:
        for piece in at[far[place], place]:
            nearer[piece].update(at[near[place], place])
    return nearer
