"""The least of belt cells, held against every way of laying belts on small floors."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.grid import Box, Cell, Heading
from loopwright.layout.layout import (
    Belt,
    Divert,
    Drain,
    Gate,
    Layout,
    Merge,
    Picker,
    Port,
    SideMerge,
    Source,
)
from loopwright.layout.route.bound import count_belts
from loopwright.layout.route.cut import least_cut
from tests.layout.design import example, placed

SPEED = Fraction(8)

Belts = tuple[tuple[str, str], ...]
"""From where to where each belt leads: docks `in ...` and `out ...`, joints `merge ...` and `divert
...`."""

SHAPES: dict[str, Belts] = {
    "one belt": (("in a", "out b"),),
    "divert": (("in a", "divert"), ("divert", "out b"), ("divert", "out c")),
    "merge": (("in a", "merge"), ("in b", "merge"), ("merge", "out c")),
    "merge, then divert": (
        ("in a", "merge"), ("in b", "merge"), ("merge", "divert"),
        ("divert", "out c"), ("divert", "out d"),
    ),
    "two diverts": (
        ("in a", "divert 1"), ("divert 1", "out b"), ("divert 1", "divert 2"),
        ("divert 2", "out c"), ("divert 2", "out d"),
    ),
    "parted and joined": (
        ("in a", "divert"), ("divert", "merge"), ("divert", "merge"), ("merge", "out b"),
    ),
}  # fmt: skip


def joints_of(belts: Belts) -> list[str]:
    ends = dict.fromkeys(end for belt in belts for end in belt)
    return [end for end in ends if end.startswith(("merge", "divert"))]


def ways(one: Cell, other: Cell, free: frozenset[Cell], most: int) -> Iterator[tuple[Cell, ...]]:
    """All ways of at most `most` cells of `free` from beside `one` to beside `other`."""
    if abs(one.x - other.x) + abs(one.y - other.y) == 1:
        yield ()
    for heading in Heading if most > 0 else ():
        cell = one.step(heading)
        if cell in free:
            yield from ((cell, *way) for way in ways(cell, other, free - {cell}, most - 1))


def laid(
    belts: Belts, places: dict[str, Cell], free: frozenset[Cell], most: int
) -> list[tuple[Cell, ...]] | None:
    """The cells of each belt between its ends, the fewest in all, `most` at most."""
    if most < 0:
        return None
    if not belts:
        return []
    best = None
    (one, other), *rest = belts
    for way in ways(places[one], places[other], free, most):
        if one.startswith(("in", "divert")) and other.startswith(("out", "merge")) and not way:
            continue  # a belt has a cell
        after = laid(tuple(rest), places, free - frozenset(way), most - len(way))
        if after is not None:
            best = [way, *after]
            most = sum(map(len, best)) - 1
    return best


def exhausted(belts: Belts, docks: dict[str, Cell], side: int = 4) -> Layout | None:
    """A layout with fewest cells, of all places of the joints and all ways of the belts on a floor
    of `side` x `side` cells."""
    names = joints_of(belts)
    free = frozenset(Box(0, 0, side, side).cells()) - set(docks.values())
    best, most = None, 10
    for spots in product(sorted(free), repeat=len(names)):
        if len(set(spots)) < len(spots):
            continue
        places = docks | dict(zip(names, spots, strict=True))
        found = laid(belts, places, free - set(spots), most)
        if found is not None:
            best, most = (places, found), sum(map(len, found)) - 1
    return None if best is None else drawn(belts, *best)


def drawn(belts: Belts, places: dict[str, Cell], between: Sequence[tuple[Cell, ...]]) -> Layout:
    """The belts as devices. The cell of a merge is its outlet's first, that of a divert its
    inlet's last."""
    devices = []
    for number, ((one, other), way) in enumerate(zip(belts, between, strict=True)):
        first = (places[one],) if one.startswith("merge") else ()
        last = (places[other],) if other.startswith("divert") else ()
        devices.append(Belt(f"belt {number}", (*first, *way, *last), SPEED, "supply"))
    ins = {joint: [d.name for d, b in zip(devices, belts, strict=True) if b[1] == joint]
           for joint in places}  # fmt: skip
    outs = {joint: [d.name for d, b in zip(devices, belts, strict=True) if b[0] == joint]
            for joint in places}  # fmt: skip
    return Layout(
        "Floor", 5, 5, Fraction(1), (), (), tuple(devices),
        sources=tuple(Source(n, at, outs[n][0], "rod", 1)
                      for n, at in places.items() if n[:2] == "in"),
        drains=tuple(Drain(n, at, ins[n][0]) for n, at in places.items() if n[:3] == "out"),
        merges=tuple(Merge(n, at, tuple(ins[n]), outs[n][0], "priority")
                     for n, at in places.items() if n.startswith("merge")),
        diverts=tuple(Divert(n, at, ins[n][0], tuple(outs[n]), "alternate")
                      for n, at in places.items() if n.startswith("divert")),
    )  # fmt: skip


@pytest.mark.parametrize("shape", SHAPES)
@settings(max_examples=12, deadline=None)
@given(st.data())
def test_no_way_of_laying_belts_has_fewer_cells_than_the_bound(shape, data):
    belts = SHAPES[shape]
    docks = [end for end in dict.fromkeys(e for belt in belts for e in belt) if " " in end
             and end.startswith(("in", "out"))]  # fmt: skip
    cells = st.sampled_from(list(Box(0, 0, 4, 4).cells()))
    at = data.draw(st.lists(cells, min_size=len(docks), max_size=len(docks), unique=True))
    best = exhausted(belts, dict(zip(docks, at, strict=True)))
    if best is not None:
        count = count_belts(best)
        assert 0 < count.bound <= count.cells


@pytest.mark.parametrize(
    ("shape", "docks"),
    [
        ("one belt", {"in a": Cell(0, 0), "out b": Cell(4, 4)}),
        ("divert", {"in a": Cell(0, 2), "out b": Cell(4, 0), "out c": Cell(4, 4)}),
        ("merge", {"in a": Cell(0, 0), "in b": Cell(0, 4), "out c": Cell(4, 2)}),
        (
            "merge, then divert",
            {"in a": Cell(0, 0), "in b": Cell(0, 4), "out c": Cell(4, 0), "out d": Cell(4, 4)},
        ),
    ],
)
def test_the_bound_is_met_where_belts_are_not_in_each_others_way(shape, docks):
    best = exhausted(SHAPES[shape], docks, side=5)
    assert best is not None
    count = count_belts(best)
    assert count.bound == count.cells


def test_a_detour_does_not_raise_the_bound():
    straight = exhausted(SHAPES["one belt"], {"in a": Cell(0, 0), "out b": Cell(3, 0)})
    assert straight is not None
    round_about = (*[Cell(1, y) for y in range(3)], *[Cell(2, y) for y in range(2, -1, -1)])
    longer = replace(straight, belts=(replace(straight.belts[0], path=round_about),))
    assert (count_belts(straight).cells, count_belts(straight).bound) == (2, 2)
    assert (count_belts(longer).cells, count_belts(longer).bound) == (6, 2)


def test_gates_and_pickers_stand_still():
    """A loop: out along row 0 past the picker, back along row 1 into the gate's bar."""
    lane = Belt("lane", tuple(Cell(x, 0) for x in range(1, 6)), SPEED, "lane")
    back = Belt("back", tuple(Cell(x, 1) for x in range(5, 0, -1)), SPEED, "return")
    picker = Picker("p", Cell(5, -1), Port("lane", 4), Port("s"), Heading.NORTH, Fraction(1))
    loop = Layout(
        "Loop", 9, 9, Fraction(1), (), (), (lane, back),
        merges=(Merge("turn", Cell(5, 1), ("lane",), "back", "priority"),),
        gates=(Gate("gate", Box(0, 0, 1, 2), (), "lane", "open", main="back"),),
        pickers=(picker,),
    )  # fmt: skip
    assert (count_belts(loop).cells, count_belts(loop).bound) == (10, 9)
    assert count_belts(replace(loop, pickers=())).bound == 2  # a cell a belt


def test_a_side_merge_stands_where_it_serves_best():
    main = Belt("main", tuple(Cell(x, 3) for x in range(1, 8)), SPEED, "supply")
    late = Belt("late", (*(Cell(x, 1) for x in range(1, 6)), Cell(5, 2)), SPEED, "supply")
    yard = Layout(
        "Yard", 9, 5, Fraction(1), (), (), (late, main),
        sources=(Source("a", Cell(0, 3), "main", "rod", 1),
                 Source("b", Cell(0, 1), "late", "rod", 1)),
        drains=(Drain("c", Cell(8, 3), "main"),),
        side_merges=(SideMerge("late end", "late", "main", 4),),
    )  # fmt: skip
    assert (count_belts(yard).cells, count_belts(yard).bound) == (13, 8)


def test_bridges_and_crossings_are_counted():
    low = Belt("low", tuple(Cell(x, 2) for x in range(1, 5)), SPEED, "supply")
    over = [Cell(3, y, 1 if y == 2 else 0) for y in range(1, 4)]
    floor = Layout(
        "X", 6, 6, Fraction(1), (), (), (low, Belt("over", tuple(over), SPEED, "supply"))
    )
    count = count_belts(floor)
    assert (count.cells, count.bridges, count.crossings) == (7, 1, 1)


@pytest.mark.parametrize("architecture", ["plain", "loop", "pass"])
def test_rows_are_laid_close_to_the_bound(architecture):
    layout = placed(example("check-block.yaml", rate=Fraction(4), architecture=architecture, row=6))
    count = count_belts(layout)
    assert count.bound <= count.cells <= count.bound * Fraction(5, 4)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5)), max_size=9))
def test_a_cut_is_as_small_as_trying_all_of_them_finds(edges):
    least = next(
        size
        for size in range(len(edges) + 1)
        if any(not meets(kept) for kept in combinations(edges, len(edges) - size))
    )
    assert least_cut(edges, (0,), (5,)) == least


def meets(edges: Sequence[tuple[int, int]]) -> bool:
    reached = {0}
    for _ in edges:
        reached |= {end for edge in edges if reached & set(edge) for end in edge}
    return 5 in reached
