"""The order of events inside a tick: one test for each rule that settles who goes first."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest

from tests.engines import Document, Engine, history
from tests.layouts.build import Build


def phases(states: Sequence[Document], picker: str) -> str:
    """First letters of a picker's phases after each tick."""
    return "".join(state["pickers"][picker]["phase"][0] for state in states[1:])


def test_commit_picker_takes_again_in_the_tick_its_swing_ends(engine: Engine) -> None:
    """1.2 comes before 3.2: with a swing of s ticks it takes every s ticks."""
    build = Build("A")
    build.belt("x", 1)
    build.store("box", 99)
    build.picker("p", ("x", 0), "box", swing=3)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["x"] = [["A", 9]]
    states = history(engine, layout, 10, state=start)
    taken = [state["counters"]["picks"]["p"] for state in states]
    arrived = [state["stores"]["box"].get("A", 0) for state in states]
    assert taken == [0, 1, 1, 1, 2, 2, 2, 3, 3, 3, 4]
    assert arrived == [0, 0, 0, 0, 1, 1, 1, 2, 2, 2, 3]
    # A carrier with units picked off keeps its cell.
    assert states[10]["belts"]["x"] == [["A", 5]]


def test_placing_picker_takes_again_in_the_tick_it_drops(engine: Engine) -> None:
    """3.1 comes before 3.2: with a swing of s ticks it takes every s ticks."""
    build = Build("A")
    build.store("box", 99)
    build.belt("x", 1)
    build.drain("x")
    build.picker("p", "box", ("x", 0), swing=2)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stores"]["box"] = {"A": 50}
    states = history(engine, layout, 9, state=start)
    # The clock of the belt is 1 s and so is the tick: taken at 1, placed and taken at 3.
    assert [state["counters"]["picks"]["p"] for state in states] == [0, 1, 1, 2, 2, 3, 3, 4, 4, 5]
    assert phases(states, "p") == "sssssssss"


def test_placing_picker_waits_for_an_empty_cell(engine: Engine) -> None:
    """It never joins a carrier, not even one of its own material."""
    build = Build("A")
    build.store("box", 99)
    build.belt("x", 1)
    build.picker("p", "box", ("x", 0), hand=3)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stores"]["box"] = {"A": 4}
    start["belts"]["x"] = [["A", 1]]
    states = history(engine, layout, 4, state=start)
    assert phases(states, "p") == "sppp"
    free = {**states[4], "belts": {"x": [None]}, "stores": {"box": {}}}
    end = engine.run(layout, 1, state=free)
    assert end["belts"]["x"] == [["A", 3]]
    assert end["pickers"]["p"] == {
        "phase": "idle",
        "material": None,
        "count": 0,
        "due": None,
        "mark": 0,
    }


def test_a_cycle_starts_in_the_tick_its_last_unit_arrives(engine: Engine) -> None:
    """1.4 comes after 1.2; the station is busy from then for a whole cycle, and 1.1 ends it."""
    build = Build("AB")
    build.store("box", 9)
    build.station("m", 4, {"A": 2}, {"B": 1})
    build.picker("p", "box", "m", swing=2, hand=2)
    build.belt("idle", 1)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stores"]["box"] = {"A": 2}
    states = history(engine, layout, 8, state=start)
    assert [state["stations"]["m"]["due"] for state in states] == [None] * 3 + [7] * 4 + [None] * 2
    count = states[8]["counters"]["stations"]["m"]
    # Starved in ticks 1, 2, 7 and 8; busy in 3, 4, 5, 6.
    expected = {"started": 1, "ended": 1, "busy": 4, "blocked": 0, "starved": {"A": 4}}
    assert count == {**expected, "down": 0, "failed": 0, "graded": []}


def test_holding_picker_fills_the_room_a_start_has_made(engine: Engine) -> None:
    """1.5 comes after 1.4: the hand empties in the very tick in which the cycle starts."""
    build = Build("AB")
    build.store("box", 9)
    build.station("m", 5, {"A": 2}, {"B": 1}, {"A": 2})
    build.picker("p", "box", "m", hand=4, habit="grab")
    build.belt("idle", 1)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stores"]["box"] = {"A": 4}
    end = engine.run(layout, 2, state=start)
    # Taken at tick 1; at tick 2 two go in, the cycle takes them, the other two go in.
    assert end["stations"]["m"] == {
        "inputs": {"A": 2},
        "outlet": {"B": 0},
        "kept": {"B": "0"},
        "due": 7,
        "down": None,
        "life": None,
        "marked": {},
        "grade": 0,
    }
    assert end["pickers"]["p"]["phase"] == "idle"


def test_starts_once_more_after_picks(engine: Engine) -> None:
    """3.3: a pick that makes room at the outlet lets the station start in the same tick."""
    build = Build("AB")
    build.station("m", 1, {"A": 1}, {"B": 2}, {"A": 9}, outlet_cap=2)
    build.belt("x", 1)
    build.picker("p", "m", ("x", 0), hand=2)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stations"]["m"].update(inputs={"A": 1}, outlet={"B": 2})
    end = engine.run(layout, 1, state=start)
    assert end["stations"]["m"]["due"] == 2
    assert end["counters"]["stations"]["m"]["busy"] == 1


def test_pickers_on_one_cell_go_by_name(engine: Engine) -> None:
    """Natural order: `p 2` is before `p 10`."""
    build = Build("A")
    build.belt("x", 1)
    build.store("box", 9)
    for number in (10, 2):
        build.picker(f"p {number}", ("x", 0), "box")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["x"] = [["A", 1]]
    assert engine.run(layout, 1, state=start)["counters"]["picks"] == {"p 2": 1, "p 10": 0}


def test_pick_order_is_belts_by_name_and_cell_then_stations_then_stores(engine: Engine) -> None:
    """With room for fewer units than there are pickers, the last in the order get none."""
    expected = ["z", "y", "w", "v", "u"]
    for room in range(6):
        build = Build("AB")
        build.belt("x 2", 2)
        build.belt("x 10", 2)
        build.station("m", 1, {"B": 1}, {"A": 1})
        build.store("from", 9)
        build.store("to", 9)
        build.picker("z", ("x 2", 0), "to")
        build.picker("y", ("x 2", 1), "to")
        build.picker("w", ("x 10", 0), "to")
        build.picker("v", "m", "to")
        build.picker("u", "from", "to")
        layout = build.layout()
        start = engine.run(layout, 0)
        start["belts"] = {"x 2": [["A", 2], ["A", 2]], "x 10": [["A", 2], ["A", 2]]}
        start["stations"]["m"]["outlet"]["A"] = 1
        start["stores"] = {"from": {"A": 1}, "to": {"B": 9 - room} if room < 9 else {}}
        picks = engine.run(layout, 1, state=start)["counters"]["picks"]
        assert [name for name in expected if picks[name]] == expected[:room]


def test_picks_come_after_belt_steps(engine: Engine) -> None:
    """A carrier that arrives in this tick can be taken in this tick."""
    build = Build("A")
    build.belt("x", 2)
    build.store("box", 9)
    build.picker("p", ("x", 1), "box")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["x"] = [["A", 1], None]
    end = engine.run(layout, 1, state=start)
    assert end["belts"]["x"] == [None, None]
    assert end["pickers"]["p"] == {
        "phase": "swinging",
        "material": "A",
        "count": 1,
        "due": 2,
        "mark": 0,
    }


def test_picker_leaves_what_its_target_does_not_want(engine: Engine) -> None:
    """A station wants its inputs only; the carrier of another material goes by."""
    build = Build("ABC")
    build.belt("x", 2)
    build.station("m", 1, {"B": 1}, {"C": 1})
    for habit in ("commit", "grab"):
        build.picker(habit, ("x", 1), "m", habit=habit)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["x"] = [None, ["A", 4]]
    end = engine.run(layout, 5, state=start)
    assert end["belts"]["x"] == [None, ["A", 4]]
    assert end["counters"]["picks"] == {"commit": 0, "grab": 0}


def test_side_merges_on_one_cell_go_by_name(engine: Engine) -> None:
    """`s 2` fills the cell before `s 10` looks at it; flanks come before the tail."""
    build = Build("ABC")
    build.belt("main", 2)
    for number in (10, 2):
        build.belt(f"in {number}", 1)
        build.side_merge(f"in {number}", "main", 0, name=f"s {number}")
    build.belt("back", 1)
    build.merge(["back"], "main")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"].update({"in 10": [["B", 1]], "in 2": [["A", 1]], "back": [["C", 1]]})
    states = history(engine, layout, 3, state=start)
    assert [state["belts"]["main"][0] for state in states[1:3]] == [["A", 1], ["B", 1]]
    joints = states[3]["counters"]["joints"]
    # Tick 3: main is full and stands.
    assert joints["s 2"] == {"offered": 2, "passed": [1]}
    assert joints["s 10"] == {"offered": 1, "passed": [1]}
    assert joints["main merge"] == {"offered": 0, "passed": [0]}


def test_starved_for_the_first_material_that_lacks(engine: Engine) -> None:
    """In material order, natural: `A 2` before `A 10`."""
    build = Build(["A 10", "A 2", "P"])
    build.station("m", 1, {"A 10": 2, "A 2": 2}, {"P": 1})
    layout = build.layout()
    for held, lacking in (((0, 0), "A 2"), ((2, 0), "A 2"), ((0, 2), "A 10"), ((1, 2), "A 10")):
        start = engine.run(layout, 0)
        start["stations"]["m"]["inputs"] = {"A 10": held[0], "A 2": held[1]}
        starved = engine.run(layout, 7, state=start)["counters"]["stations"]["m"]["starved"]
        assert starved == {"A 10": 0, "A 2": 0, lacking: 7}


@pytest.mark.parametrize(("speed", "ticks"), [("1", 6), ("2/3", 9), ("1/2", 12)])
def test_belts_step_at_multiples_of_their_step_time(engine: Engine, speed: str, ticks: int) -> None:
    """The tick is 1/6 s, the gcd of 1/6, 1, 3/2 and 2 s; the first step is at 1 / speed."""
    build = Build("A")
    build.belt("clock", 1, 6)
    for other in ("1", "2/3", "1/2"):
        build.belt(f"x {other}", 3, Fraction(other))
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"][f"x {speed}"] = [["A", 1], None, None]
    states = history(engine, layout, 2 * ticks, state=start)
    places = [state["belts"][f"x {speed}"].index(["A", 1]) for state in states]
    assert places == [0] * ticks + [1] * ticks + [2]


def test_carrier_crosses_the_break_of_a_ring_in_one_step(engine: Engine) -> None:
    """The break belt steps first: its carrier comes to the head, and the next belt takes it."""
    build = Build("A")
    build.belt("x", 3)
    build.belt("y", 3)
    build.merge(["x"], "y")
    build.merge(["y"], "x")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["x"] = [None, ["A", 1], None]
    end = engine.run(layout, 1, state=start)
    assert end["belts"] == {"x": [None] * 3, "y": [["A", 1], None, None]}
    # At the other joint it takes one step for each cell.
    start["belts"] = {"x": [None] * 3, "y": [None, ["A", 1], None]}
    end = engine.run(layout, 1, state=start)
    assert end["belts"]["y"] == [None, None, ["A", 1]]
