from fractions import Fraction
from math import floor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.block import Bounds, RowDesign, closed_designs, equal_designs, open_designs
from loopwright.block.group import group_lanes, is_even, output_belts, output_load

WIDE = Fraction(10**6)


def closed(capacity: Fraction, needed: int) -> list[tuple[int, int, int, int]]:
    """(lanes, row, make-up rows, make-up row) of all closed designs."""
    bounds = Bounds(int(capacity), WIDE, double=True)
    return [
        (design.lanes, design.row, design.make_up, design.make_up_row)
        for design in closed_designs(capacity, Fraction(needed), bounds)
    ]


@pytest.mark.parametrize(
    ("capacity", "needed", "design", "fill"),
    [
        (Fraction(640, 9), 640, (9, 64, 1, 64), Fraction(9, 10)),
        (Fraction(40, 3), 40, (3, 10, 1, 10), Fraction(3, 4)),
        (Fraction(40, 3), 40, (3, 12, 1, 4), Fraction(9, 10)),
        (Fraction(40, 3), 120, (9, 12, 1, 12), Fraction(9, 10)),
        (Fraction(72, 5), 72, (5, 12, 1, 12), Fraction(5, 6)),
        (Fraction(100, 7), 100, (7, 10, 3, 10), Fraction(7, 10)),
        (Fraction(100, 7), 700, (49, 14, 1, 14), Fraction(49, 50)),
        (Fraction(128, 3), 128, (3, 40, 1, 8), Fraction(15, 16)),
    ],
)
def test_known_closed_designs(
    capacity: Fraction, needed: int, design: tuple[int, int, int, int], fill: Fraction
) -> None:
    """Independent recomputation."""
    assert design in closed(capacity, needed)
    assert design[1] / capacity == fill


@pytest.mark.parametrize(
    ("capacity", "needed", "best"),
    [
        (Fraction(640, 9), 640, (9, 64, 1, 64)),
        (Fraction(640, 9), 639, (9, 64, 1, 64)),
        (Fraction(40, 3), 40, (3, 10, 1, 10)),
        (Fraction(40, 3), 120, (9, 12, 1, 12)),
        (Fraction(72, 5), 72, (5, 12, 1, 12)),
        (Fraction(128, 3), 128, (3, 32, 1, 32)),
    ],
)
def test_the_first_of_the_list(
    capacity: Fraction, needed: int, best: tuple[int, int, int, int]
) -> None:
    assert closed(capacity, needed)[0] == best


def test_equal_rows_of_64_are_the_only_ones_with_one_more_row() -> None:
    alike = [d for d in closed(Fraction(640, 9), 640) if d[0] == 9 and d[2] == 1 and d[1] == d[3]]
    assert alike == [(9, 64, 1, 64)]


def test_a_whole_capacity_leaves_nothing_over() -> None:
    assert (2, 12, 0, 0) in closed(Fraction(12), 20)


@settings(max_examples=150, deadline=None)
@given(
    st.fractions(min_value=1, max_value=60, max_denominator=12),
    st.fractions(min_value=Fraction(1, 3), max_value=400, max_denominator=3),
    st.booleans(),
    st.fractions(min_value=1, max_value=80, max_denominator=5),
)
def test_laws_of_all_designs(
    capacity: Fraction, needed: Fraction, double: bool, output: Fraction
) -> None:
    bounds = Bounds(floor(capacity), output, double)
    lists = [
        make(capacity, needed, bounds) for make in (closed_designs, equal_designs, open_designs)
    ]
    for designs in lists:
        assert len(set(designs)) == len(designs)
        for design in designs:
            left = design.lanes * (capacity - design.row) - design.make_up * design.make_up_row
            assert left >= 0
            assert design.stations >= needed
            assert design.fill == design.row / capacity
            assert 1 <= design.row <= capacity
            assert design.make_up_row <= capacity
            assert (design.make_up == 0) == (design.make_up_row == 0)
            assert widest(design, double) <= output
    for design in lists[0]:
        assert design.closed
        spare = design.lanes * (capacity - design.row)
        assert spare == design.make_up * design.make_up_row
    assert all(design.closed == (design.row == capacity) for design in lists[1])
    assert lists[1] or (double and output < 2)


def groups(design: RowDesign) -> list[list[int]]:
    """Row lengths of each group, row by row."""
    if design.make_up == 0:
        return [[design.row] * design.lanes]
    lanes = [design.row] * design.lanes
    share = -(-design.lanes // design.make_up)
    return [
        [*lanes[index * share : (index + 1) * share], design.make_up_row]
        for index in range(design.make_up)
    ]


def on_belts(design: RowDesign, double: bool) -> list[int]:
    """Stations on each output belt, row by row."""
    step = 2 if double else 1
    return [
        sum(group[i : i + step]) for group in groups(design) for i in range(0, len(group), step)
    ]


def widest(design: RowDesign, double: bool) -> int:
    return max(on_belts(design, double))


@given(st.integers(1, 9), st.integers(1, 9), st.integers(0, 9), st.integers(1, 9), st.booleans())
def test_output_belts_row_by_row(
    lanes: int, row: int, make_up: int, make_up_row: int, double: bool
) -> None:
    design = RowDesign(lanes, row, make_up, make_up_row if make_up else 0, Fraction(1), False)
    assert output_load(design, double) == widest(design, double)
    assert output_belts(design, double) == len(on_belts(design, double))
    assert sum(group_lanes(design)) == lanes
    assert is_even(design) == (len(set(group_lanes(design))) == 1)


@settings(max_examples=80, deadline=None)
@given(st.integers(2, 40), st.integers(1, 6), st.integers(1, 30))
def test_all_closed_designs_of_one_size_are_found(p: int, q: int, needed: int) -> None:
    """Try every row length with the fewest stations that can close, and the fewest make-up rows."""
    capacity = Fraction(p, q)
    if capacity < 1:
        return
    found = set(closed(capacity, needed))
    assert found
    stations = min(n * r + k * s for n, r, k, s in found)
    lanes = stations / capacity
    for row in range(1, floor(capacity) + 1):
        left = lanes * (capacity - row)
        fewest = next(
            (k for k in range(1, int(left) + 1) if left % k == 0 and left / k <= capacity), 0
        )
        assert (lanes, row, fewest, left / fewest if fewest else 0) in found


def test_only_the_row_that_is_asked() -> None:
    bounds = Bounds(71, Fraction(128), double=False, row=60)
    for make in (closed_designs, equal_designs, open_designs):
        designs = make(Fraction(640, 9), Fraction(640), bounds)
        assert designs
        assert {design.row for design in designs} == {60}


def test_no_more_stations_than_there_are() -> None:
    bounds = Bounds(71, Fraction(128), double=True, most=639)
    assert closed_designs(Fraction(640, 9), Fraction(640), bounds) == ()
