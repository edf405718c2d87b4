"""Channels: tracks by the left edge, cuts where constraints ask for them, wires on cells."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.finding import DesignError
from loopwright.grid import Cell
from loopwright.grid.path import heading_between
from loopwright.layout.route.bridge import lift_path, ramps_straight
from loopwright.layout.route.channel import Channel, Pin, constraints
from loopwright.layout.route.left_edge import assign_tracks
from loopwright.layout.route.wire import draw_wires


@st.composite
def channels(draw, *, facing: bool = True, apart: int = 1):
    """Random channels; without `facing` no two pins lie at the same place."""
    count = draw(st.integers(1, 12))
    places = range(0, 40 * apart, apart)
    if facing:
        spots = [(side, at) for at in places for side in ("near", "far")]
    else:
        spots = [(draw(st.sampled_from(("near", "far"))), at) for at in places]
    spots = draw(st.permutations(spots))
    pins, used = [], 0
    for net in range(count):
        for _ in range(draw(st.integers(2, 3))):
            side, at = spots[used]
            pins.append(Pin(f"net {net}", side, at))
            used += 1
    return Channel(tuple(pins))


def disjoint(track):
    """Whether pieces of different nets never share a place of a track."""
    held = {}
    for piece, number in track.items():
        for at in range(piece.first, piece.last + 1):
            if held.setdefault((number, at), piece.net) != piece.net:
                return False
    return True


@given(channels(facing=False))
@settings(max_examples=60, deadline=None)
def test_without_facing_pins_the_left_edge_takes_the_density(channel):
    """Hashimoto and Stevens 1971, the theorem on their channel without constraints."""
    tracks = assign_tracks(channel)
    assert tracks.count == tracks.density == channel.density
    assert tracks.excess == 0
    assert disjoint(tracks.track)


@given(channels(apart=2))
@settings(max_examples=60, deadline=None)
def test_constraints_are_kept_and_the_excess_is_told(channel):
    tracks = assign_tracks(channel)
    assert disjoint(tracks.track)
    assert tracks.count >= channel.density
    for piece, nearer in constraints(channel, tracks.track).items():
        assert all(tracks.track[other] < tracks.track[piece] for other in nearer)
    assert f"density {channel.density}, excess {tracks.excess}" in tracks.text()


@given(channels(apart=2), st.integers(1, 6))
@settings(max_examples=60, deadline=None)
def test_wires_are_joined_and_apart(channel, span):
    wires = draw_wires(channel, assign_tracks(channel), span)
    held = {}
    for net, cells in wires.items():
        for cell in cells:
            assert held.setdefault(cell, net) == net
        assert _one_piece(cells)


def _one_piece(cells):
    left, stack = set(cells), [cells[0]]
    while stack:
        cell = stack.pop()
        if cell in left:
            left.discard(cell)
            stack += [other for other in left if heading_between(cell, other) is not None]
    return not left


def test_two_nets_that_face_each_other_twice_are_cut():
    channel = Channel(
        (Pin("a", "near", 0), Pin("a", "far", 4), Pin("b", "far", 0), Pin("b", "near", 4))
    )
    tracks = assign_tracks(channel)
    assert (tracks.count, tracks.density, tracks.cuts) == (3, 2, 1)


def test_without_a_free_place_there_is_no_way():
    channel = Channel(
        (Pin("a", "near", 0), Pin("a", "far", 1), Pin("b", "far", 0), Pin("b", "near", 1))
    )
    with pytest.raises(DesignError, match="each must turn before the other"):
        assign_tracks(channel)


def test_a_bridge_goes_over_as_much_as_its_span_allows():
    path = [Cell(x, 0) for x in range(9)]
    floor = {Cell(2, 0), Cell(4, 0), Cell(6, 0)}
    levels = [cell.level for cell in lift_path("b", path, floor, (), 3)]
    assert levels == [0, 0, 1, 1, 1, 0, 1, 0, 0]
    with pytest.raises(DesignError, match="would stay up over 2 cells"):
        lift_path("b", path, {Cell(3, 0), Cell(4, 0)}, (), 1)
    with pytest.raises(DesignError, match="no bridge can stand"):
        lift_path("b", path, {Cell(3, 0)}, {Cell(3, 0, 1)}, 4)


def test_belts_rise_and_fall_straight_ahead():
    assert ramps_straight([Cell(0, 0), Cell(1, 0, 1), Cell(2, 0)])
    assert not ramps_straight([Cell(0, 0), Cell(1, 0, 1), Cell(1, 1)])
