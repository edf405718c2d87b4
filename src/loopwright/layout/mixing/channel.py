"""The channel before a mixer's tree, where lanes are split and what comes back is let in.

A lane of several leaves runs across the channel on a track, past the rows of its leaves. All others
cross it by bridges.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations

from loopwright.grid import Cell
from loopwright.layout.mixing.tree import Seat
from loopwright.layout.route.channel import PITCH, Channel, Pin
from loopwright.layout.route.left_edge import assign_tracks

MOST_ORDERS = 6
"""Tracks whose every order is looked at; more keep the order of the left edge."""


@dataclass(frozen=True, slots=True)
class Net:
    """A lane with several leaves, on `rows` from the outermost inwards; `entry` is the row on which
    it comes to the channel. `material` is None for what is fed back, which comes from the east."""

    material: str | None
    rows: tuple[int, ...]
    entry: int

    @property
    def span(self) -> tuple[int, int]:
        """First and last row that the track covers."""
        return min(*self.rows, self.entry), max(*self.rows, self.entry)

    def covers(self, row: int) -> bool:
        """Whether the track crosses `row`."""
        first, last = self.span
        return first <= row <= last


def entry_of(rows: Sequence[int]) -> int:
    """The row on which a lane for leaves on `rows` comes in: a divert of three ways splits it to
    both sides if there are three or more."""
    return rows[1] if len(rows) > 2 else rows[0]


def nets_of(seats: Sequence[Seat]) -> tuple[Net, ...]:
    """Lanes with several leaves by material, and the feedback lane, which comes in on the row below
    all leaves."""
    rows: dict[str | None, list[int]] = {}
    for seat in seats:
        rows.setdefault(seat.material, []).append(seat.row)
    return tuple(
        Net(material, tuple(own), len(seats) if material is None else entry_of(own))
        for material, own in rows.items()
        if material is None or len(own) > 1
    )


def tracks_of(nets: Sequence[Net], seats: Sequence[Seat]) -> Mapping[str | None, int]:
    """A track for each of `nets`, counted from the west, so that the fewest belts cross."""
    pins = tuple(Pin(net.material or "", row) for net in nets for row in {*net.rows, net.entry})
    found = assign_tracks(Channel(pins))
    first = {net.material: found.track[net.material or ""] for net in nets}
    if found.count > MOST_ORDERS:
        return first
    orders = [
        {material: order[track] for material, track in first.items()}
        for order in permutations(range(found.count))
    ]
    return min(orders, key=lambda tracks: crossings(nets, seats, tracks))


def crossings(nets: Sequence[Net], seats: Sequence[Seat], tracks: Mapping[str | None, int]) -> int:
    """How often belts along the row cross tracks."""
    count = 0
    for net in nets:
        west = [seat for seat in seats if tracks.get(seat.material, -1) < tracks[net.material]]
        count += sum(net.covers(seat.row) for seat in west)
        count += sum(
            net.covers(other.entry)
            for other in nets
            if other.material is not None and tracks[other.material] > tracks[net.material]
        )
    return count


def track_cells(nets: Sequence[Net], columns: Mapping[str | None, int]) -> dict[Cell, str | None]:
    """The cells of all tracks, and whose they are."""
    return {
        Cell(columns[net.material], row): net.material
        for net in nets
        for row in range(net.span[0], net.span[1] + 1)
    }


def channel_width(tracks: Mapping[str | None, int]) -> int:
    """Columns from the first track to the last; 0 without any."""
    return PITCH * max(tracks.values()) + 1 if tracks else 0
