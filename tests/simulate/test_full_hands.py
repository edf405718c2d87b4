"""Pickers that wait for a full hand (3.2), so that carriers leave full."""

from __future__ import annotations

from tests.engines import Engine
from tests.layouts.build import Build


def test_carriers_leave_full(engine: Engine) -> None:
    """One unit a cycle, hands of 4: without a word each unit leaves alone."""
    for takes, load in (("units", 1), ("hands", 4)):
        build = Build("AB")
        build.belt("out", 3)
        build.drain("out")
        build.station("m", 3, {"A": 1}, {"B": 1}, {"A": 80}, outlet_cap=4)
        build.picker("p", "m", ("out", 0), hand=4, takes=takes)
        layout = build.layout()
        start = engine.run(layout, 0)
        start["stations"]["m"]["inputs"]["A"] = 80
        count = engine.run(layout, 240, state=start)["counters"]["drains"]["out drain"]
        assert count["carriers"]["B"] > 10
        assert count["units"]["B"] == load * count["carriers"]["B"]


def test_k_is_the_hand_or_nothing(engine: Engine) -> None:
    """Off a carrier with more, a hand; off one with less, nothing. Room counts as well."""
    build = Build("A")
    build.belt("lane", 1)
    build.store("box", 5)
    build.picker("p", ("lane", 0), "box", hand=3, takes="hands")
    layout = build.layout()
    for units, held, left in ((5, 0, 2), (3, 2, 0), (2, 0, 2), (5, 3, 5)):
        start = engine.run(layout, 0)
        start["belts"]["lane"] = [["A", units]]
        start["stores"]["box"] = {"A": held} if held else {}
        state = engine.run(layout, 1, state=start)
        assert state["belts"]["lane"] == [["A", left] if left else None]


def test_the_next_material_is_looked_at(engine: Engine) -> None:
    """Of the first material there is less than a hand."""
    build = Build("AB")
    build.store("box", 9)
    build.store("other", 9)
    build.picker("p", "box", "other", hand=3, takes="hands")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stores"]["box"] = {"A": 2, "B": 3}
    assert engine.run(layout, 1, state=start)["pickers"]["p"]["material"] == "B"


def test_room_that_grows_lets_a_hand_come(engine: Engine) -> None:
    """Room for 2 of 3 until the cycle starts, in the tick in which the outlet is empty."""
    build = Build("AB")
    build.belt("lane", 1)
    build.station("m", 50, {"A": 3}, {"B": 1}, {"A": 5}, outlet_cap=1)
    build.store("box", 9)
    build.picker("in", ("lane", 0), "m", hand=3, takes="hands")
    build.picker("out", "m", "box")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["lane"] = [["A", 4]]
    start["stations"]["m"].update(inputs={"A": 3}, outlet={"B": 1})
    first = engine.run(layout, 1, state=start)  # the outlet is emptied, the cycle starts
    assert first["belts"]["lane"] == [["A", 4]]
    assert engine.run(layout, 1, state=first)["belts"]["lane"] == [["A", 1]]
