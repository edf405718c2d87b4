"""The cells of a channel's nets: tracks along it, runs across it, bridges where they meet."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.grid import Cell
from loopwright.layout.route.bridge import lift_path
from loopwright.layout.route.channel import Channel
from loopwright.layout.route.left_edge import Tracks

PITCH = 2
"""Cells from track to track: beside each one a free cell, where a bridge comes down [cells]."""


def track_column(track: int) -> int:
    """Cells from the near edge, where pins lie, to a track."""
    return 1 + PITCH * track


def channel_width(tracks: int) -> int:
    """Cells across the channel, the edges with the pins included."""
    return 2 + PITCH * tracks


def draw_wires(channel: Channel, tracks: Tracks, span: int) -> dict[str, tuple[Cell, ...]]:
    """The cells of each net: x across the channel from the near edge, y along it.

    What runs along the channel stays on the floor; what runs across rises over it.
    """
    along: dict[str, set[Cell]] = {
        net: {
            Cell(track_column(track), y)
            for piece, track in tracks.of(net)
            for y in range(piece.first, piece.last + 1)
        }
        for net in channel.spans()
    }
    wires: dict[str, tuple[Cell, ...]] = {}
    for net, cells in along.items():
        others = {cell for other, held in along.items() if other != net for cell in held}
        wire = set(cells)
        for y, first, last in _across(channel, tracks, net):
            run = [Cell(x, y) for x in range(first, last + 1)]
            wire.update(lift_path(net, run, others, (), span))
        wires[net] = tuple(sorted(wire))
    return wires


def _across(channel: Channel, tracks: Tracks, net: str) -> Iterator[tuple[int, int, int]]:
    """(place, first column, last column) of each run across of a net."""
    far_edge = channel_width(tracks.count) - 1
    pieces = tracks.of(net)
    places = {pin.at for pin in channel.pins if pin.net == net}
    places |= {piece.first for piece, _ in pieces[1:]}
    for place in sorted(places):
        columns = [track_column(t) for piece, t in pieces if piece.first <= place <= piece.last]
        for pin in channel.pins:
            if pin.net == net and pin.at == place:
                columns.append(0 if pin.side == "near" else far_edge)
        yield place, min(columns), max(columns)
