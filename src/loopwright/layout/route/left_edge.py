"""Tracks for the nets of a channel by the left edge, with cuts where the constraints ask for them.

Without facing pins the left edge takes exactly as many tracks as the density: A. Hashimoto and
J. Stevens, Wire routing by optimizing channel assignment within large apertures, Proceedings of the
8th Design Automation Workshop, 1971.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from loopwright.finding import DesignError, Finding, new_finding
from loopwright.layout.route.channel import Channel, Piece, constraints
from loopwright.layout.route.cycle import find_cycle
from loopwright.layout.route.dogleg import cut_piece, longest_chain_piece


@dataclass(frozen=True, slots=True)
class Tracks:
    """Track of each piece, counted from 0 at the near side; `density` is the least possible."""

    track: Mapping[Piece, int]
    density: int

    @property
    def count(self) -> int:
        """Tracks used."""
        return max(self.track.values(), default=-1) + 1

    @property
    def excess(self) -> int:
        """Tracks beyond the density."""
        return self.count - self.density

    @property
    def cuts(self) -> int:
        """Places at which a net changes its track."""
        return len(self.track) - len({piece.net for piece in self.track})

    def of(self, net: str) -> list[tuple[Piece, int]]:
        """The pieces of a net with their tracks, in their order along the channel."""
        found = [(piece, track) for piece, track in self.track.items() if piece.net == net]
        return sorted(found, key=lambda pair: pair[0].number)

    def text(self) -> str:
        """The count beside its lower bound, in one line."""
        cuts = f", {self.cuts} nets cut" if self.cuts else ""
        return f"{self.count} tracks, density {self.density}, excess {self.excess}{cuts}"


def assign_tracks(channel: Channel) -> Tracks:
    """Tracks for all nets of `channel`.

    Cycles of constraints are broken by cutting a net of the cycle. After that nets on the longest
    chain of constraints are cut as long as that saves a track.

    Raises
    ------
    DesignError
        LW422: a cycle of constraints has no place where one of its nets could change track.
    """
    pieces = channel.whole_pieces()
    while cycle := find_cycle(constraints(channel, pieces)):
        cut = next((p for piece in cycle if (p := cut_piece(channel, pieces, piece))), None)
        if cut is None:
            raise DesignError((_no_way(cycle),))
        pieces = cut
    density = channel.density
    best = Tracks(_fill(channel, pieces), density)
    while best.excess:
        piece = longest_chain_piece(constraints(channel, pieces))
        cut = None if piece is None else cut_piece(channel, pieces, piece)
        if cut is None or find_cycle(constraints(channel, cut)):
            break
        found = Tracks(_fill(channel, cut), density)
        if found.count >= best.count:
            break
        best, pieces = found, cut
    return best


def _fill(channel: Channel, pieces: list[Piece]) -> dict[Piece, int]:
    """Track by track from the near side, each from its left edge on: the next piece that begins
    after the last one, of those that nothing unplaced must lie nearer than."""
    nearer = constraints(channel, pieces)
    left = sorted(pieces, key=lambda piece: (piece.first, piece.last, piece.net, piece.number))
    track: dict[Piece, int] = {}
    number = 0
    while left:
        end: int | None = None
        taken: list[Piece] = []
        for piece in left:
            free = end is None or piece.first > end or _goes_on(taken, piece)
            if free and all(other in track for other in nearer[piece]):
                taken.append(piece)
                end = piece.last
        assert taken, "a cycle of constraints was left"
        for piece in taken:
            track[piece] = number
        left = [piece for piece in left if piece not in track]
        number += 1
    return track


def _goes_on(taken: list[Piece], piece: Piece) -> bool:
    """Whether `piece` goes on where the last of its own net ended, on the same track."""
    last = taken[-1]
    return last.net == piece.net and last.last == piece.first


def _no_way(cycle: list[Piece]) -> Finding:
    names = " and ".join(sorted({piece.net for piece in cycle}))
    return new_finding(
        "LW422",
        f"no way for {names}: each must turn before the other, and neither has a free place",
        value=f"places {cycle[0].first} to {cycle[0].last} of the channel",
        remedy="leave a free cell between the pins",
    )
