"""Belts over a free ground: joined, apart, bridges legal, against a lower bound."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.finding import DesignError
from loopwright.grid import Box, Cell, Heading
from loopwright.grid.path import is_connected
from loopwright.layout.route.bridge import bridges_of, ramps_straight
from loopwright.layout.route.ground import Ground
from loopwright.layout.route.reroute import route_nets
from loopwright.layout.route.search import Net, find_path

SIDE = 14


@st.composite
def grounds(draw):
    """A ground with a few boxes on it, and nets between free cells of their own."""
    area = Box(0, 0, SIDE, SIDE)
    cells = st.integers(0, SIDE - 1)
    sizes = st.integers(1, 4)
    boxes = [Box(*box) for box in draw(st.lists(st.tuples(cells, cells, sizes, sizes), max_size=5))]
    solid = {cell for box in boxes for cell in box.cells()}
    free = [cell for cell in area.cells() if cell not in solid]
    count = 2 * draw(st.integers(1, 6))
    ends = draw(st.lists(st.sampled_from(free), min_size=count, max_size=count, unique=True))
    nets = [Net(f"net {i}", *ends[2 * i : 2 * i + 2]) for i in range(count // 2)]
    return Ground(area, draw(st.integers(1, 4)), solid), nets


@given(grounds())
@settings(max_examples=60, deadline=None)
def test_ways_are_joined_apart_and_legal(case):
    ground, nets = case
    codes: set[str] = set()
    try:
        ways = route_nets(ground, nets)
    except DesignError as error:
        codes = {finding.code for finding in error.findings}
    if codes:
        assert codes == {"LW422"}
        return
    seen = set()
    for net in nets:
        path = ways.paths[net.name]
        assert (path[0], path[-1]) == (net.start, net.goal)
        assert is_connected(path)
        assert ramps_straight(path)
        assert not seen & set(path)
        seen |= set(path)
        assert not any(cell.at_level(0) in ground.solid for cell in path)
        assert all(last - first < ground.span for first, last in bridges_of(path))
    assert ways.cost >= ways.bound
    assert not ground.belts


def test_a_lone_belt_takes_the_shortest_way_with_fewest_turns():
    path = find_path(Ground(Box(0, 0, 9, 9), 4), Net("b", Cell(1, 1), Cell(6, 5)))
    assert path is not None
    assert len(path) == 10
    turns = sum(a.x != c.x and a.y != c.y for a, c in zip(path, path[2:], strict=False))
    assert turns == 1


def test_belts_that_cross_do_so_by_one_bridge():
    ground = Ground(Box(0, 0, 9, 9), 4)
    nets = [Net("a", Cell(0, 4), Cell(8, 4)), Net("b", Cell(4, 0), Cell(4, 8))]
    ways = route_nets(ground, nets)
    assert ways.text() == "2 belts, objective 20, at least 18"
    assert ways.excess == 2


def test_a_belt_in_the_way_is_taken_up():
    """The short belt takes the nearer of two doors first, which is the only one for the long."""
    wall = {Cell(4, y) for y in range(8) if y not in (0, 3)}
    niche = {Cell(6, 2), Cell(6, 4), Cell(7, 3)}
    nets = [Net("long", Cell(0, 3), Cell(6, 3)), Net("short", Cell(3, 2), Cell(5, 2))]
    ways = route_nets(Ground(Box(0, 0, 9, 8), 0, wall | niche), nets)
    assert len(ways.paths["long"]) == 7
    assert len(ways.paths["short"]) == 7
    assert ways.text() == "2 belts, objective 14, at least 12"


def test_no_way_is_told_with_its_place():
    wall = {Cell(4, y) for y in range(5)}
    with pytest.raises(DesignError, match="no way for b from 0,2 to 8,2"):
        route_nets(Ground(Box(0, 0, 9, 5), 4, wall), [Net("b", Cell(0, 2), Cell(8, 2))])


def test_headings_at_both_ends_are_kept():
    net = Net("b", Cell(1, 1), Cell(5, 1), Heading.SOUTH, Heading.NORTH)
    path = find_path(Ground(Box(0, 0, 9, 9), 4), net)
    assert path is not None
    assert path[1] == Cell(1, 2)
    assert path[-2] == Cell(5, 2)
