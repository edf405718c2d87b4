"""Pickers that take a carrier of a belt whole or not at all (3.2)."""

from __future__ import annotations

import pytest

from loopwright.simulate.limit import LayoutError
from tests.engines import Document, Engine
from tests.layouts.build import Build
from tests.twins.compiled import CompiledEngine


def at_a_lane(hand: int, cap: int, habit: str = "commit") -> Build:
    """A station that needs 4 A, and a picker that takes whole carriers for it."""
    build = Build("AB")
    build.belt("lane", 1)
    build.station("m", 5, {"A": 4}, {"B": 1}, {"A": cap})
    build.picker("p", ("lane", 0), "m", hand=hand, habit=habit, takes="carriers")
    return build


def after(engine: Engine, build: Build, units: int, held: int, ticks: int = 1) -> Document:
    """The state some ticks after `units` lay on the lane and the station held `held`."""
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["lane"] = [["A", units]]
    start["stations"]["m"]["inputs"]["A"] = held
    return engine.run(layout, ticks, state=start)


@pytest.mark.parametrize(
    ("hand", "cap", "units", "taken"),
    [(4, 8, 4, True), (4, 8, 5, False), (5, 8, 5, True), (8, 3, 4, False), (8, 4, 4, True)],
)
def test_hand_and_room_must_hold_all_of_it(
    engine: Engine, hand: int, cap: int, units: int, taken: bool
) -> None:
    state = after(engine, at_a_lane(hand, cap), units, 0)
    assert state["belts"]["lane"] == [None if taken else ["A", units]]
    assert state["pickers"]["p"]["count"] == (units if taken else 0)


def test_a_grabbing_hand_asks_for_no_room(engine: Engine) -> None:
    state = after(engine, at_a_lane(4, 5, "grab"), 4, 3)
    assert state["belts"]["lane"] == [None]


def test_room_that_grows_lets_the_carrier_come(engine: Engine) -> None:
    """The station has room for 3 of 4 until its cycle starts, for which it waits for outlet."""
    build = at_a_lane(4, 7)
    build.store("box", 9)
    build.picker("out", "m", "box", swing=1)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["lane"] = [["A", 4]]
    start["stations"]["m"].update(inputs={"A": 4}, outlet={"B": 8})
    start["pickers"]["out"].update(phase="swinging", material="B", count=1, due=3)
    waiting = engine.run(layout, 2, state=start)
    assert waiting["belts"]["lane"] == [["A", 4]]
    # at tick 3 the arm is back and takes a unit from the outlet: the cycle starts after the picks
    assert engine.run(layout, 1, state=waiting)["belts"]["lane"] == [["A", 4]]
    assert engine.run(layout, 2, state=waiting)["belts"]["lane"] == [None]


def test_what_another_takes_off_a_carrier_may_make_it_small_enough(engine: Engine) -> None:
    build = at_a_lane(3, 8)
    build.store("box", 9)
    build.picker("q", ("lane", 0), "box", swing=9)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["lane"] = [["A", 4]]
    first = engine.run(layout, 1, state=start)
    assert first["belts"]["lane"] == [["A", 3]]
    assert engine.run(layout, 1, state=first)["pickers"]["p"]["count"] == 3


def test_from_a_store_it_takes_units(engine: Engine) -> None:
    build = Build("A")
    build.store("box", 9)
    build.store("other", 2)
    build.picker("p", "box", "other", hand=4, takes="carriers")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stores"]["box"] = {"A": 9}
    assert engine.run(layout, 1, state=start)["pickers"]["p"]["count"] == 2


def test_another_word_is_refused() -> None:
    build = Build("A")
    build.store("box", 9)
    build.picker("p", "box", "box", takes="crates")
    with pytest.raises(LayoutError, match="p: it takes crates, not units, carriers or hands"):
        CompiledEngine().run(build.layout(), 1)
