"""Channels: tracks by the left edge, and bridges over what runs along."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.finding import DesignError
from loopwright.grid import Cell
from loopwright.layout.route.bridge import lift_path, ramps_straight
from loopwright.layout.route.channel import Channel, Pin
from loopwright.layout.route.left_edge import assign_tracks


@st.composite
def channels(draw):
    """Random channels: each net has two or three pins, each at a place of its own."""
    places = draw(st.permutations(range(40)))
    pins = []
    for net in range(draw(st.integers(1, 12))):
        for _ in range(draw(st.integers(2, 3))):
            pins.append(Pin(f"net {net}", places[len(pins)]))
    return Channel(tuple(pins))


@given(channels())
@settings(max_examples=60, deadline=None)
def test_the_left_edge_takes_the_density(channel):
    """Hashimoto and Stevens 1971, the theorem on their channel without constraints."""
    tracks = assign_tracks(channel)
    assert tracks.count == tracks.density == channel.density
    assert tracks.excess == 0
    held = {}
    for net, (first, last) in channel.spans().items():
        for at in range(first, last + 1):
            assert held.setdefault((tracks.track[net], at), net) == net


@given(channels())
def test_the_density_is_what_is_counted_place_by_place(channel):
    spans = channel.spans().values()
    counted = [sum(first <= at <= last for first, last in spans) for at in range(40)]
    assert channel.density == max(counted)
    assert f"density {channel.density}, excess 0" in assign_tracks(channel).text()


def test_two_pins_at_one_place_are_refused():
    with pytest.raises(ValueError, match="two pins"):
        Channel((Pin("a", 3), Pin("b", 3)))


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
