"""Links: minimum spanning trees against the plain program, relays, and known trees."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.grid import Cell
from loopwright.layout.power.relay import with_relays
from loopwright.layout.power.tree import length_hundredths, parts_of, shortest_links, squared
from reference.power import tree_square_lengths

SPOTS = st.tuples(st.integers(0, 30), st.integers(0, 20))


@settings(deadline=None)
@given(st.lists(SPOTS, unique=True, max_size=25), st.integers(2, 40))
def test_as_short_as_the_tree_that_grows_link_by_link(spots, span):
    cells = [Cell(*spot) for spot in spots]
    links = shortest_links(cells, span)
    ref = tree_square_lengths(spots, span)
    parts = parts_of(len(cells), links)
    assert len(links) == len(cells) - len(parts)
    assert (ref is not None) == (len(parts) <= 1)
    if ref is not None:
        assert sorted(squared(cells[a], cells[b]) for a, b in links) == ref


def test_a_square_takes_three_sides():
    square = [Cell(0, 0), Cell(1, 0), Cell(0, 1), Cell(1, 1)]
    links = shortest_links(square, 5)
    assert len(links) == 3
    assert sum(length_hundredths(square[a], square[b]) for a, b in links) == 300


def test_the_ends_of_a_cross_take_three_diagonals():
    cross = [Cell(1, 0), Cell(-1, 0), Cell(0, 1), Cell(0, -1)]
    assert [squared(cross[a], cross[b]) for a, b in shortest_links(cross, 5)] == [2, 2, 2]


def test_a_link_may_be_as_long_as_the_span_and_no_longer():
    assert shortest_links([Cell(0, 0), Cell(3, 4)], 5) == ((0, 1),)
    assert shortest_links([Cell(0, 0), Cell(3, 5)], 5) == ()


def test_lengths_are_rounded_up():
    assert length_hundredths(Cell(0, 0), Cell(3, 4)) == 500
    assert length_hundredths(Cell(0, 0), Cell(1, 1)) == 142


@settings(deadline=None, max_examples=50)
@given(st.lists(SPOTS, unique=True, min_size=2, max_size=8), st.integers(3, 9))
def test_relays_join_everything_on_an_open_floor(spots, span):
    cells = [Cell(*spot) for spot in spots]
    free = {Cell(x, y) for x in range(31) for y in range(21)} - set(cells)
    relays = with_relays(cells, free, span)
    assert set(relays) <= free
    everything = [*cells, *relays]
    assert len(parts_of(len(everything), shortest_links(everything, span))) == 1


def test_a_straight_way_takes_no_relay_too_many():
    free = {Cell(x, 0) for x in range(1, 40)}
    relays = with_relays([Cell(0, 0), Cell(40, 0)], free, 9)
    assert [cell.x for cell in relays] == [9, 18, 27, 36]


def test_parts_stay_apart_where_there_is_no_floor_between():
    assert with_relays([Cell(0, 0), Cell(40, 0)], set(), 9) == ()
