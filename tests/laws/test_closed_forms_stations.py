"""Closed forms of stations, pickers and stores."""

from __future__ import annotations

from fractions import Fraction
from math import floor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.layout.layout import Layout
from tests.engines import Document, Engine, history
from tests.layouts.build import Build


def loop_with_unloader(carriers_a_minute: Fraction, swing: Fraction) -> Layout:
    """A stretch of a carrier conveyor: one cell is one carrier spacing, 2 parts a carrier.

    A picker whose hand takes a whole carrier unloads in `swing` [s]; what it misses goes to the
    drain.
    """
    build = Build()
    build.belt("x", 5, carriers_a_minute / 60)
    build.source("x", load=2)
    build.drain("x", name="missed")
    build.store("unloaded", 100_000)
    build.picker("unloader", ("x", 2), "unloaded", swing, hand=2)
    return build.layout()


KWO = [
    # speed [m/min], spacing [m], load and unload time [min], demand [parts/min], verdict
    ("60", "12", "0.20", "4", True),  # 300 m loop: 10 >= 4, and 5 <= 5: the speed rule is tight
    ("50", "5", "0.15", "6", False),  # 200 m loop: 20 >= 6, but 10 > 6.667
]


@pytest.mark.parametrize(("speed", "spacing", "time", "demand", "works"), KWO)
def test_kwo_speed_and_capacity_rules(
    engine: Engine, speed: str, spacing: str, time: str, demand: str, works: bool
) -> None:
    """T. T. Kwo, A theory of conveyors, Management Science 5(1), 1958, 51-71; the cases are
    textbook exercises (from memory). With v speed, s spacing, n parts a carrier, R the rates and
    T the times to load and to unload: n v / s >= max(R_L, R_U) and v / s <= min(1/T_L, 1/T_U).
    """
    carriers_a_minute = Fraction(speed) / Fraction(spacing)
    assert 2 * carriers_a_minute >= Fraction(demand)
    assert (carriers_a_minute <= 1 / Fraction(time)) == works

    layout = loop_with_unloader(carriers_a_minute, 60 * Fraction(time))
    tick = Fraction(12) if works else Fraction(3)
    end = engine.run(layout, int(60 * 60 / tick))  # one hour
    missed = end["counters"]["drains"]["missed"]["carriers"].get("A", 0)
    taken = end["counters"]["picks"]["unloader"]
    if works:
        assert missed == 0
        assert taken == 60 * carriers_a_minute - 2  # the last two are not there yet
    else:
        # A swing of 3/2 steps: picks go 1, 2, 4, 5, 7, 8 ...: two carriers of three.
        assert taken == Fraction(2, 3) * (60 * carriers_a_minute) - 1
        assert missed == (60 * carriers_a_minute - 5) // 3


@settings(deadline=None, max_examples=12)
@given(step=st.integers(1, 6), swing=st.integers(1, 9))
def test_an_unloader_keeps_up_iff_its_swing_is_no_longer_than_a_step(
    engine: Engine, step: int, swing: int
) -> None:
    """The same speed rule for any times; a tick is gcd(step, swing)."""
    layout = loop_with_unloader(Fraction(60, step), Fraction(swing))
    end = engine.run(layout, 60 * step)
    missed = end["counters"]["drains"]["missed"]["carriers"].get("A", 0)
    assert (missed == 0) == (swing <= step)


def line(rate: Fraction, cycle: Fraction) -> Layout:
    """Supply, picker, station, picker, drain; both pickers faster than the station."""
    build = Build("AB")
    build.belt("in", 3)
    build.source("in", "A", rate)
    build.station("m", cycle, {"A": 1}, {"B": 1}, {"A": 3}, outlet_cap=4)
    build.belt("out", 3)
    build.drain("out")
    build.picker("p in", ("in", 2), "m", Fraction(1, 2))
    build.picker("p out", "m", ("out", 0), Fraction(1, 2))
    return build.layout()


@pytest.mark.parametrize("rate", ["1/7", "2/5", "1/2", "1"])
@pytest.mark.parametrize("cycle", ["2", "5/2", "7"])
def test_throughput_of_a_station_line(engine: Engine, rate: str, cycle: str) -> None:
    """min(supply, 1 / cycle), to within what the line itself can hold.

    On the belts 3 + 3, in hands 2, at the station 3 + 1 in work + 4, in credit 1: 17 units.
    """
    share = min(Fraction(rate), 1 / Fraction(cycle))
    for seconds in (200, 600):
        end = engine.run(line(Fraction(rate), Fraction(cycle)), 2 * seconds)
        made = end["counters"]["drains"]["out drain"]["units"]["B"]
        assert abs(made - seconds * share) <= 17


def test_cycles_follow_without_a_gap(engine: Engine) -> None:
    """A station with inputs and room starts again in the tick in which a cycle ends."""
    build = Build("AB")
    build.station("m", 3, {"A": 2}, {"B": 1}, {"A": 100}, outlet_cap=100)
    build.belt("idle", 1)  # a tick of 1 s
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stations"]["m"]["inputs"]["A"] = 21
    for ticks in range(40):
        count = engine.run(layout, ticks, state=start)["counters"]["stations"]["m"]
        assert count["ended"] == min(10, max(0, ticks - 1) // 3)
        assert count["busy"] == min(ticks, 30)
        assert count["starved"] == {"A": max(0, ticks - 30)}


@pytest.mark.parametrize(("batch_yield", "count"), [("5/4", 1), ("1/3", 1), ("7/5", 3), ("2", 2)])
def test_yield_is_exact(engine: Engine, batch_yield: str, count: int) -> None:
    """After k cycles floor(k x n x yield) units were made, and the rest is kept over."""
    build = Build("AB")
    build.station("m", 1, {"A": 1}, {"B": count}, {"A": 99}, 999, Fraction(batch_yield))
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stations"]["m"]["inputs"]["A"] = 99
    for state in history(engine, layout, 30, state=start)[1:]:
        total = state["counters"]["stations"]["m"]["ended"] * count * Fraction(batch_yield)
        assert state["stations"]["m"]["outlet"]["B"] == floor(total)
        assert Fraction(state["stations"]["m"]["kept"]["B"]) == total - floor(total)


@pytest.mark.parametrize("batch_yield", ["1", "5/4", "3/2"])
def test_a_cycle_starts_only_with_room_for_the_most_it_can_give(
    engine: Engine, batch_yield: str
) -> None:
    """The outlet never overflows, and stops within one batch of its cap."""
    build = Build("AB")
    build.station("m", 1, {"A": 1}, {"B": 3}, {"A": 99}, 13, Fraction(batch_yield))
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stations"]["m"]["inputs"]["A"] = 99
    end = engine.run(layout, 30, state=start)
    most = -(-3 * Fraction(batch_yield) // 1)
    assert 13 - most < end["stations"]["m"]["outlet"]["B"] <= 13
    assert end["counters"]["stations"]["m"]["blocked"] > 20
    assert end["counters"]["stations"]["m"]["starved"] == {"A": 0}


def crowded(habit: str, cap: int, hand: int) -> Layout:
    """Three pickers at one lane of full carriers serve one station that needs A and B."""
    build = Build("AB")
    build.belt("lane", 6)
    build.source("lane", "A", load=4)
    build.drain("lane")
    build.belt("b", 2)
    build.source("b", "B", rate=Fraction(1, 9))
    build.drain("b")
    build.station("m", 5, {"A": 2, "B": 1}, {"A": 1}, {"A": cap, "B": 2}, outlet_cap=1000)
    for number in (1, 2, 3):
        build.picker(f"p {number}", ("lane", number), "m", number, hand, habit)
    build.picker("p b", ("b", 1), "m")
    return build.layout()


def hands_on(state: Document, material: str) -> int:
    """Units of a material in all hands."""
    hands = state["pickers"].values()
    return sum(hand["count"] for hand in hands if hand["material"] == material)


@settings(deadline=None, max_examples=10)
@given(cap=st.integers(2, 7), hand=st.integers(1, 4))
def test_commit_never_exceeds_caps(engine: Engine, cap: int, hand: int) -> None:
    """Held and under way together are at most the cap, and no hand ever has to wait."""
    for state in history(engine, crowded("commit", cap, hand), 60):
        assert state["stations"]["m"]["inputs"]["A"] + hands_on(state, "A") <= cap
        assert all(picker["phase"] in ("idle", "swinging") for picker in state["pickers"].values())


@settings(deadline=None, max_examples=10)
@given(cap=st.integers(2, 7), hand=st.integers(1, 4))
def test_grab_takes_ahead_and_holds(engine: Engine, cap: int, hand: int) -> None:
    """The station still keeps its cap; the hands stand full over it."""
    states = history(engine, crowded("grab", cap, hand), 60)
    for state in states:
        assert state["stations"]["m"]["inputs"]["A"] <= cap
    # B comes once in 9 s and is the bottleneck: at the end every hand holds A and waits.
    hands = [states[-1]["pickers"][f"p {number}"] for number in (1, 2, 3)]
    assert [picker["phase"] for picker in hands] == ["holding"] * 3
    assert all(0 < picker["count"] <= hand for picker in hands)


def test_store_hands_out_single_units(engine: Engine) -> None:
    """Stacks of 4 go in, single units come out, the first material in order first."""
    build = Build("AB")
    build.belt("in", 2)
    build.store("box", 9)
    build.belt("out", 8, role="output")
    build.picker("p in", ("in", 1), "box", hand=4)
    build.picker("p out", "box", ("out", 0))
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["in"] = [["A", 4], ["B", 4]]
    # Tick 1: B is taken, A moves up at tick 2 and is taken then. "p out" sees B at tick 2 only.
    end = engine.run(layout, 20, state=start)
    carriers = [cell for cell in reversed(end["belts"]["out"]) if cell]
    assert carriers == [["B", 1]] + [["A", 1]] * 4 + [["B", 1]] * 3
    assert end["stores"] == {"box": {}}


@settings(deadline=None, max_examples=10)
@given(cap=st.integers(1, 9), hand=st.integers(1, 4), load=st.integers(1, 4))
def test_store_fills_to_its_cap(engine: Engine, cap: int, hand: int, load: int) -> None:
    """Room is cap - held - under way; with endless supply exactly the cap comes to lie in it."""
    build = Build("AB")
    for material, swing in (("A", 1), ("B", 2)):
        belt = build.belt(f"in {material}", 2)
        build.source(belt, material, load=load)
        build.drain(belt)
        build.picker(f"p {material}", (belt, 1), "box", swing, hand)
    build.store("box", cap)
    states = history(engine, build.layout(), 30)
    for state in states:
        held = sum(state["stores"]["box"].values())
        assert held + hands_on(state, "A") + hands_on(state, "B") <= cap
    assert sum(states[-1]["stores"]["box"].values()) == cap


def test_store_serves_the_first_material_with_room_at_its_target(engine: Engine) -> None:
    """A full station buffer of A does not keep the picker from handing over B."""
    build = Build("ABC")
    build.store("box", 20)
    build.station("m", 1, {"A": 1, "B": 1}, {"C": 1}, {"A": 2, "B": 2})
    build.picker("p", "box", "m")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stores"]["box"] = {"A": 6, "B": 3, "C": 1}
    end = engine.run(layout, 30, state=start)
    assert end["counters"]["stations"]["m"]["ended"] == 3
    # C is no input of the station and stays; A waits at the station for a fourth B.
    assert end["stores"] == {"box": {"A": 1, "C": 1}}
    assert end["stations"]["m"]["inputs"] == {"A": 2, "B": 0}
