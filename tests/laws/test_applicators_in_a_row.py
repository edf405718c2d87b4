"""Applicators that together mark what a full belt carries let nothing by, whatever comes.

The proof is on the page about layouts; here are gaps, part carriers and stops at random, on both
programs. The slow belt at the end makes the queue stand and go in turn.
"""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.engines import Engine
from tests.layouts.build import Build

CELLS = 24

cells = st.lists(st.one_of(st.none(), st.integers(1, 8)), min_size=CELLS, max_size=CELLS)


@given(
    stream=cells,
    count=st.integers(1, 5),
    stack=st.integers(1, 8),
    slower=st.sampled_from([1, 2, 3, 5]),
    load=st.integers(1, 8),
    rate=st.sampled_from([None, "1/2", "5/7"]),
)
@settings(max_examples=40)
def test_no_carrier_goes_by_unmarked(
    engine: Engine,
    stream: list[int | None],
    count: int,
    stack: int,
    slower: int,
    load: int,
    rate: str | None,
) -> None:
    build = Build("AW", stack=stack)
    build.belt("lane", CELLS + count)
    build.belt("slow", 4, Fraction(1, slower))
    build.source("lane", "A", load=min(load, stack), rate=rate)
    build.merge(["lane"], "slow")
    build.drain("slow")
    each = Fraction(stack, count)
    for number in range(count):
        place = ("lane", CELLS + number)
        build.applicator(f"spray {number}", place, "W", 1, dose=0, rate=each)
    layout = build.layout()
    state = engine.run(layout, 0)
    state["belts"]["lane"] = [
        None if units is None else ["A", min(units, stack)] for units in [*stream, *[None] * count]
    ]
    for number in range(count):
        state["applicators"][f"spray {number}"]["credit"] = str(each + stack)
    end = engine.run(layout, 90 * slower, state=state)
    last = end["counters"]["applicators"][f"spray {count - 1}"]
    assert last["late"] == 0
    carriers = end["counters"]["drains"]["slow drain"]["carriers"].get("A", 0)
    assert carriers > 0
    assert all(
        mark == (cell is not None)
        for cell, mark in zip(end["belts"]["slow"], end["marks"].get("slow", [0] * 4), strict=True)
    )


@given(count=st.integers(2, 5), stack=st.integers(1, 8))
@settings(max_examples=20)
def test_one_less_than_that_lets_carriers_by(engine: Engine, count: int, stack: int) -> None:
    build = Build("AW", stack=stack)
    build.belt("lane", count + 2)
    build.source("lane", "A", load=stack)
    build.drain("lane")
    for number in range(count - 1):
        place = ("lane", 1 + number)
        build.applicator(f"spray {number}", place, "W", 1, dose=0, rate=Fraction(stack, count))
    end = engine.run(build.layout(), 40 * count)
    assert end["counters"]["applicators"][f"spray {count - 2}"]["late"] > 0
