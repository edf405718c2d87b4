"""Covers: against every choice on small floors, and against known values on large ones."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.grid import Box, Cell
from loopwright.layout.power.choose import apart, choose_cells, greedy_choice, improved
from loopwright.layout.power.covering import covering_of, pieces, reduced
from loopwright.layout.power.reach import Reach
from loopwright.layout.power.solver import shared_bound
from reference.power import fewest_nodes, reaches

SHAPES = st.sampled_from(["square", "round"])


def floor(width: int, height: int) -> set[Cell]:
    return {Cell(x, y) for x in range(width) for y in range(height)}


def covered(cells: tuple[Cell, ...], boxes: list[Box], reach: Reach) -> bool:
    return all(any(reach.holds(cell, box) for cell in cells) for box in boxes)


@given(SHAPES, st.integers(1, 9), st.integers(-6, 6), st.integers(-6, 6), st.integers(1, 3),
       st.integers(1, 3))  # fmt: skip
def test_a_device_is_reached_where_one_of_its_cells_is(shape, cover, x, y, width, height):
    reach, box, node = Reach(shape, cover), Box(x, y, width, height), Cell(0, 0)
    ref = reaches((0, 0), box, shape, cover)
    assert reach.holds(node, box) == ref
    assert ((-x, -y) in set(reach.steps_to(width, height))) == ref


@settings(max_examples=60, deadline=None)
@given(st.data(), SHAPES, st.integers(1, 5))
def test_as_few_as_when_every_choice_is_tried(data, shape, cover):
    spots = [(x, y) for x in range(7) for y in range(5)]
    free = data.draw(st.lists(st.sampled_from(spots), unique=True, min_size=1, max_size=10))
    boxes = [
        Box(*data.draw(st.sampled_from(spots)), *data.draw(st.tuples(*[st.integers(1, 2)] * 2)))
        for _ in range(data.draw(st.integers(1, 8)))
    ]
    ref = fewest_nodes(boxes, free, shape, cover)
    reach = Reach(shape, cover)
    covering = covering_of(boxes, {Cell(*spot) for spot in free}, reach)
    assert (len(covering.devices) == len(boxes)) == (ref is not None)
    if ref is not None:
        choice = choose_cells(covering)
        assert covered(choice.cells, boxes, reach)
        assert len(choice.cells) == ref == choice.bound
        assert choice.proven


@pytest.mark.parametrize(
    ("width", "height", "side", "nodes"),
    [(10, 10, 5, 4), (11, 10, 5, 6), (12, 7, 3, 12), (13, 13, 7, 4), (30, 20, 9, 12)],
)
def test_squares_on_an_open_floor(width, height, side, nodes):
    """ceil(W/s) ceil(H/s): cells that far apart in both directions need a square each."""
    boxes = [Box(cell.x, cell.y, 1, 1) for cell in floor(width, height)]
    choice = choose_cells(covering_of(boxes, floor(width, height), Reach("square", side)))
    assert len(choice.cells) == choice.bound == nodes == -(-width // side) * -(-height // side)


@pytest.mark.parametrize(("width", "height", "across"), [(12, 9, 5), (16, 12, 7), (15, 15, 8)])
def test_discs_keep_to_the_bound_of_kershner(width, height, across):
    """R. Kershner, The number of circles covering a set, Amer. J. Math. 61 (1939), 665-671.

    Discs of radius r cover a rectangle no more thinly than hexagons of 3 sqrt(3)/2 r^2 each. Here
    they need to cover the middles of cells only, so each whole cell lies in discs half a diagonal
    larger.
    """
    boxes = [Box(cell.x, cell.y, 1, 1) for cell in floor(width, height)]
    reach = Reach("round", across)
    choice = choose_cells(covering_of(boxes, floor(width, height), reach))
    assert covered(choice.cells, boxes, reach)
    radius = across / 2 + 2**0.5 / 2
    least = width * height / (3 * 3**0.5 / 2 * radius**2)
    assert len(choice.cells) >= choice.bound
    assert len(choice.cells) >= least


@settings(max_examples=25, deadline=None)
@given(st.data(), SHAPES, st.integers(2, 6))
def test_bounds_never_lie_above_what_is_found(data, shape, cover):
    cells = sorted(floor(14, 9))
    boxes = [
        Box(cell.x, cell.y, 1, 1)
        for cell in data.draw(st.lists(st.sampled_from(cells), unique=True, min_size=5))
    ]
    free = set(data.draw(st.lists(st.sampled_from(cells), unique=True, min_size=30)))
    covering = covering_of(boxes, free, Reach(shape, cover))
    small = reduced(covering)
    assert choose_cells(covering).bound <= len(choose_cells(covering).cells)
    for piece in pieces(small):
        greedy = greedy_choice(piece)
        better = improved(piece, greedy)
        assert frozenset().union(*(piece.reaches[number] for number in better)) == piece.devices
        assert apart(piece) <= shared_bound(piece) <= len(better) <= len(greedy)


def test_reduction_alone_solves_what_falls_apart():
    boxes = [Box(10 * n, 0, 1, 1) for n in range(5)]
    covering = covering_of(boxes, floor(50, 3), Reach("square", 3))
    assert [len(piece.cells) for piece in pieces(reduced(covering))] == [1] * 5


def test_fractions_are_not_met():
    assert isinstance(choose_cells(covering_of([], floor(2, 2), Reach("square", 3))).bound, int)
    assert Fraction(choose_cells(covering_of([], set(), Reach("square", 3))).bound) == 0
