"""Single sentences of the rule book that no other test is about, on both programs."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from loopwright.simulate import simulate_layout
from loopwright.simulate.disturbance import BrownOut, Disturbances
from loopwright.simulate.scenario import Scenario
from tests.engines import Engine, history
from tests.layouts.build import Build


def test_the_first_tick_is_tick_1(engine: Engine) -> None:
    """A belt of step time 2 steps at tick 2, not at 0 and not at 1."""
    build = Build("A")
    build.belt("slow", 3, Fraction(1, 2))
    build.source("slow")
    build.belt("quick", 3)
    states = history(engine, build.layout(), 2)
    assert [state["tick"] for state in states] == [0, 1, 2]
    assert [state["belts"]["slow"][0] for state in states] == [None, None, ["A", 1]]


def test_spans_are_rounded_up_to_whole_ticks() -> None:
    build = Build("A")
    build.belt("belt", 3, Fraction(1, 2))
    span = Fraction(5)
    run = simulate_layout(build.layout(), Scenario("odd", "empty", span, Fraction(0), span))
    assert (run.tick, run.ticks) == (2, 3)


def test_materials_go_by_the_natural_order_of_names(engine: Engine) -> None:
    build = Build(["m 10", "m 9"])
    build.store("box", 9)
    build.store("other", 9)
    build.picker("p", "box", "other")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stores"]["box"] = {"m 10": 1, "m 9": 1}
    assert engine.run(layout, 1, state=start)["pickers"]["p"]["material"] == "m 9"


def test_a_carrier_keeps_its_cell_until_it_is_empty(engine: Engine) -> None:
    """The lane stands: at each swing a unit goes, with the last the carrier."""
    build = Build("A")
    build.belt("lane", 2)
    build.store("box", 9)
    build.picker("p", ("lane", 1), "box")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["lane"] = [None, ["A", 3]]
    states = history(engine, layout, 3, state=start)
    assert [state["belts"]["lane"][1] for state in states] == [["A", 3], ["A", 2], ["A", 1], None]


def test_a_belt_that_feeds_itself_is_a_ring_of_one(engine: Engine) -> None:
    """By its tail or by its flank: full it stands, with one empty cell it turns."""
    for flank in (False, True):
        build = Build("A")
        build.belt("ring", 4)
        if flank:
            build.side_merge("ring", "ring", 0)
        else:
            build.merge(["ring"], "ring")
        layout = build.layout()
        start = engine.run(layout, 0)
        full = [["A", number + 1] for number in range(4)]
        start["belts"]["ring"] = full
        assert engine.run(layout, 3, state=start)["belts"]["ring"] == full
        start["belts"]["ring"] = [*full[:3], None]
        states = history(engine, layout, 2, state=start)
        assert states[1]["belts"]["ring"] == [full[2], *full[:2], None]
        assert states[2]["belts"]["ring"] == [full[1], full[2], full[0], None]


def test_a_material_without_a_share_has_share_1(engine: Engine) -> None:
    """A counts for a half of itself, B for itself: of A twice as many are let in."""
    build = Build("AB")
    for material in "AB":
        build.belt(f"in {material}", 1)
        build.source(f"in {material}", material)
    build.belt("lane", 9)
    build.gate(["in A", "in B"], "lane", "scarcest-first", shares={"A": 2}, loop=("lane",))
    end = engine.run(build.layout(), 40)
    there = [cell[0] for cell in end["belts"]["lane"]]
    assert (there.count("A"), there.count("B")) == (6, 3)


def test_an_action_that_passes_nothing_counts_in_the_window(engine: Engine) -> None:
    """One A in any three actions: the gate goes on at each third step, although nothing else came
    in between."""
    build = Build("A")
    build.belt("in", 2)
    build.source("in")
    build.belt("lane", 3)
    build.drain("lane")
    build.gate(["in"], "lane", "windowed", quotas={"A": 1}, window=3)
    states = history(engine, build.layout(), 20)
    passed = [state["counters"]["joints"]["lane gate"]["passed"][0] for state in states]
    steps = [tick for tick in range(1, 21) if passed[tick] > passed[tick - 1]]
    assert {b - a for a, b in pairwise(steps)} == {3}


def test_a_cell_that_a_pick_empties_is_dropped_on_from_the_next_tick_on(engine: Engine) -> None:
    build = Build("A")
    build.belt("lane", 1)
    build.store("box", 9)
    build.picker("away", ("lane", 0), "box", 5)
    build.picker("here", "box", ("lane", 0), 1)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["lane"] = [["A", 1]]
    start["pickers"]["here"].update(phase="placing", material="A", count=1)
    start["pickers"]["away"].update(phase="swinging", due=2)
    states = history(engine, layout, 3, state=start)
    assert [state["belts"]["lane"][0] for state in states] == [["A", 1], ["A", 1], None, ["A", 1]]
    assert states[2]["pickers"]["here"]["phase"] == "placing"


def test_two_hands_over_one_cell_drop_by_name(engine: Engine) -> None:
    build = Build("AB")
    build.belt("lane", 2, Fraction(1, 4))
    build.store("box", 9)
    build.picker("p 10", "box", ("lane", 0))
    build.picker("p 9", "box", ("lane", 0))
    layout = build.layout()
    start = engine.run(layout, 0)
    for name, material in (("p 10", "A"), ("p 9", "B")):
        start["pickers"][name].update(phase="placing", material=material, count=1)
    assert engine.run(layout, 1, state=start)["belts"]["lane"][0] == ["B", 1]


def test_of_several_brown_outs_the_slowest_counts(engine: Engine) -> None:
    build = Build("AP")
    build.station("m", 6, {"A": 1}, {"P": 1}, {"A": 9})
    build.belt("clock", 1)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stations"]["m"]["inputs"]["A"] = 9
    told = Disturbances(
        brown_outs=(
            BrownOut(Fraction(0), Fraction(9), Fraction(1, 2)),
            BrownOut(Fraction(0), Fraction(9), Fraction(1, 3)),
            BrownOut(Fraction(0), Fraction(9), Fraction(3, 4)),
        )
    )
    assert engine.run(layout, 1, state=start, troubles=told)["stations"]["m"]["due"] == 1 + 18
