"""Closed forms of a single belt and of a ring of belts."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.layout.layout import Layout
from loopwright.simulate.scenario import Outage
from tests.engines import Document, Engine, history
from tests.layouts.build import Build

QUIET = {"arrived": 0, "lost": 0}
"""Counters of a source to which nothing arrives by chance."""


@pytest.mark.parametrize("speed", ["1", "15/2", "2/3"])
@pytest.mark.parametrize("load", [1, 4])
def test_full_free_belt_carries_speed_times_stack(engine: Engine, speed: str, load: int) -> None:
    """The first carrier needs one step for each cell; from then on every step brings a full one."""
    build = Build()
    build.belt("x", 6, speed)
    build.source("x", load=load)
    build.drain("x")
    layout = build.layout()
    for steps in (0, 1, 6, 7, 50):  # the belt is all there is: one tick is one step
        end = engine.run(layout, steps)
        drained = max(0, steps - 6)
        counts = end["counters"]["drains"]["x drain"]
        assert counts["units"].get("A", 0) == load * drained
        assert counts["carriers"].get("A", 0) == drained
        source = end["counters"]["sources"]["x source"]
        expected = {"carriers": steps, "units": load * steps, "refused": 0}
        assert source == {**expected, **QUIET}


def test_solid_queue_moves_as_one(engine: Engine) -> None:
    """Behind a blocked head nothing moves; when the head leaves, all move in that very tick."""
    build = Build()
    build.belt("x", 5)
    build.belt("y", 3, Fraction(1, 4))
    build.merge(["x"], "y")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["x"] = [["A", units] for units in (1, 2, 3, 4, 5)]
    states = history(engine, layout, 8, state=start)
    for tick in (1, 2, 3):
        assert states[tick]["belts"]["x"] == start["belts"]["x"]
    for tick in (4, 5, 6, 7):
        assert states[tick]["belts"]["x"] == [None, ["A", 1], ["A", 2], ["A", 3], ["A", 4]]
        assert states[tick]["belts"]["y"] == [["A", 5], None, None]
    assert states[8]["belts"]["x"] == [None, None, ["A", 1], ["A", 2], ["A", 3]]


def test_queue_across_belts_moves_as_one(engine: Engine) -> None:
    """Three full belts in a line: belt order is downstream first, so no gap opens between them."""
    build = Build()
    for name in "xyz":  # z is upstream, so that the order of names is the wrong one
        build.belt(name, 2)
    build.merge(["z"], "y")
    build.merge(["y"], "x")
    build.drain("x")
    layout = build.layout()
    start = engine.run(layout, 0)
    for belt, units in (("x", (5, 6)), ("y", (3, 4)), ("z", (1, 2))):
        start["belts"][belt] = [["A", count] for count in units]
    end = engine.run(layout, 1, state=start)
    assert end["belts"] == {
        "x": [["A", 4], ["A", 5]],
        "y": [["A", 2], ["A", 3]],
        "z": [None, ["A", 1]],
    }


def test_everything_behind_the_first_gap_moves(engine: Engine) -> None:
    """Gaps nearer to the head close first; a queue at a blocked head stands."""
    build = Build()
    build.belt("x", 7)
    layout = build.layout()
    start = engine.run(layout, 0)
    one = ["A", 1]
    start["belts"]["x"] = [one, one, None, one, None, one, one]
    states = history(engine, layout, 3, state=start)
    assert states[1]["belts"]["x"] == [None, one, one, None, one, one, one]
    assert states[2]["belts"]["x"] == [None, None, one, one, one, one, one]
    assert states[3]["belts"]["x"] == states[2]["belts"]["x"]


@pytest.mark.parametrize("rate", ["1", "3/7", "1/10", "5/4"])
def test_rate_of_a_source(engine: Engine, rate: str) -> None:
    """Unhindered, credit gives floor(rate x steps) carriers, and never more than one a step."""
    build = Build()
    build.belt("x", 2)
    build.source("x", rate=rate)
    build.drain("x")
    layout = build.layout()
    for steps in (1, 2, 3, 10, 77):
        put = engine.run(layout, steps)["counters"]["sources"]["x source"]["carriers"]
        assert put == min(steps, steps * Fraction(rate) // 1)


@pytest.mark.parametrize(
    ("start", "span", "silent"),
    [("10", "5", 5), ("19/2", "5", 5), ("19/2", "21/4", 5), ("10", "1/2", 1), ("0", "5", 4)],
)
def test_outage_covers_its_ticks(engine: Engine, start: str, span: str, silent: int) -> None:
    """Ticks a <= t < b, both ends rounded up; tick 0 is never carried out."""
    build = Build()
    build.belt("x", 3)
    build.source("x")
    build.belt("y", 3)
    build.source("y", rate=Fraction(1, 2))
    build.drain("x")
    build.drain("y")
    outages = [Outage(f"{belt} source", Fraction(start), Fraction(span)) for belt in "xy"]
    counts = engine.run(build.layout(), 40, outages)["counters"]["sources"]
    assert counts["x source"]["carriers"] == 40 - silent
    assert counts["y source"]["carriers"] == (40 - silent) // 2


def test_refused_steps(engine: Engine) -> None:
    """A belt with no exit takes as many carriers as it has cells and refuses ever after.

    With rate 1/2, credit stops at 1 + 1/2, and a step is refused only with credit of 1 or more.
    """
    build = Build()
    build.belt("x", 3)
    build.source("x")
    build.belt("y", 3)
    build.source("y", rate=Fraction(1, 2))
    end = engine.run(build.layout(), 20)
    assert end["counters"]["sources"]["x source"] == {
        "carriers": 3,
        "units": 3,
        "refused": 17,
        **QUIET,
    }
    # y is served at steps 2, 4, 6; credit reaches 1 again at step 8.
    assert end["counters"]["sources"]["y source"] == {
        "carriers": 3,
        "units": 3,
        "refused": 13,
        **QUIET,
    }
    assert end["credits"] == {"y source": "3/2"}


@settings(deadline=None, max_examples=8)
@given(rate=st.fractions(Fraction(1, 8), 1, max_denominator=9), main=st.sampled_from("024"))
def test_littles_law_is_an_identity(engine: Engine, rate: Fraction, main: str) -> None:
    """L = lambda W over a window with empty start and end: units in the system summed over ticks
    equal the sojourn times summed over units. J. D. C. Little, Operations Research 9(3), 1961.

    The belt has one carrier after the other, so the k-th to leave is the k-th that came; a main
    belt with priority makes the waiting times irregular.
    """
    build = Build()
    build.belt("x", 5)
    build.source("x", rate=rate)
    build.belt("main", 2)
    build.source("main", rate=Fraction(int(main), 5))
    build.belt("out", 2)
    build.merge(["main", "x"], "out", "priority")
    build.drain("out")
    outages = [Outage("x source", Fraction(20), Fraction(1000))]
    states = history(engine, build.layout(), 70, outages)
    come = [state["counters"]["sources"]["x source"]["carriers"] for state in states]
    gone = [state["counters"]["joints"]["out merge"]["passed"][1] for state in states]
    assert gone[-1] == come[-1] > 0
    held = sum(1 for state in states for cell in state["belts"]["x"] if cell)
    sojourns = sum(_times_of(gone)) - sum(_times_of(come))
    assert held == sojourns


def _times_of(counts: list[int]) -> list[int]:
    """The tick at which each one was counted."""
    steps = pairwise(counts)
    return [tick for tick, (a, b) in enumerate(steps, 1) for _ in range(b - a)]


def _ring(cells_of_x: int, cells_of_y: int) -> Layout:
    build = Build()
    build.belt("x", cells_of_x)
    build.belt("y", cells_of_y)
    build.merge(["x"], "y")
    build.merge(["y"], "x")
    return build.layout()


def _filled(empty: Document, places: set[int]) -> Document:
    """The ring with carriers of 1 to 9 units at `places`, counted along x and then y."""
    cells = sum(len(empty["belts"][belt]) for belt in "xy")
    carriers = [["A", place % 9 + 1] if place in places else None for place in range(cells)]
    length = len(empty["belts"]["x"])
    return {**empty, "belts": {"x": carriers[:length], "y": carriers[length:]}}


def test_full_ring_does_not_turn(engine: Engine) -> None:
    layout = _ring(4, 3)
    start = _filled(engine.run(layout, 0), set(range(7)))
    end = engine.run(layout, 20, state=start)
    assert end["belts"] == start["belts"]
    assert all(joint["passed"] == [0] for joint in end["counters"]["joints"].values())


@pytest.mark.parametrize("hole", range(7))
def test_ring_with_one_empty_cell_turns(engine: Engine, hole: int) -> None:
    """After at most one step, every step passes one carrier at every joint."""
    layout = _ring(4, 3)
    start = _filled(engine.run(layout, 0), set(range(7)) - {hole})
    warm = engine.run(layout, 1, state=start)
    end = engine.run(layout, 20, state=warm)
    for name, joint in end["counters"]["joints"].items():
        assert joint["passed"][0] - warm["counters"]["joints"][name]["passed"][0] == 20


@settings(deadline=None, max_examples=25)
@given(places=st.sets(st.integers(0, 8), min_size=1, max_size=8), cells_of_x=st.integers(1, 8))
def test_flow_on_a_ring(engine: Engine, places: set[int], cells_of_x: int) -> None:
    """Backward-sequential update at p = 1: J = rho for rho < 1, not the min(rho, 1 - rho) of the
    parallel update (rule 184). N. Rajewsky, L. Santen, A. Schadschneider, M. Schreckenberg,
    J. Stat. Phys. 92, 1998.

    On N cells it is exactly k / (N - 1) carriers a step: at the break a carrier moves two cells in
    one step (into the head of the break as that belt steps, off it as the next belt steps), so a
    lap takes N - 1 steps. That is rho + rho / (N - 1), and J = rho as N grows.
    """
    layout, cells = _ring(cells_of_x, 9 - cells_of_x), 9
    warm = engine.run(layout, 2, state=_filled(engine.run(layout, 0), places))
    end = engine.run(layout, 3 * (cells - 1), state=warm)
    assert end["belts"] == warm["belts"]
    for name, joint in end["counters"]["joints"].items():
        passed = joint["passed"][0] - warm["counters"]["joints"][name]["passed"][0]
        assert passed == 3 * len(places)


def test_dense_ring_is_faster_than_rule_184(engine: Engine) -> None:
    """At rho = 3/4 the parallel update would give 1/4."""
    layout = _ring(50, 50)
    warm = engine.run(layout, 100, state=_filled(engine.run(layout, 0), set(range(75))))
    end = engine.run(layout, 99, state=warm)
    joints = [state["counters"]["joints"]["y merge"]["passed"][0] for state in (warm, end)]
    assert joints[1] - joints[0] == 75
