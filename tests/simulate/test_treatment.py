"""Marks, applicators and grades (2.5, Marks), tick by tick, on both programs."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.simulate.disturbance import Disturbances, Law, Pace
from loopwright.simulate.limit import LayoutError
from tests.engines import Document, Engine, history
from tests.layouts.build import Build
from tests.twins.compiled import CompiledEngine


def line(load: int = 2, held: int = 0, **applicator: object) -> tuple[Build, Document]:
    """A belt of 4 cells from dock to drain, an applicator over cell 1, and its state."""
    build = Build("AW", stack=4)
    build.belt("lane", 4)
    build.source("lane", "A", load=load)
    build.drain("lane")
    build.applicator("spray", ("lane", 1), "W", **applicator)  # type: ignore[arg-type]
    return build, {"held": held, "left": "0", "credit": "0"}


def sprayed(engine: Engine, ticks: int, held: int, **applicator: object) -> Document:
    """The line after some ticks, with `held` units of agent in the tank at first."""
    build, tank = line(**applicator)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["applicators"]["spray"] = tank | {"held": held}
    return engine.run(layout, ticks, state=start)


def test_a_carrier_on_the_cell_is_marked(engine: Engine) -> None:
    """The dock puts a carrier at tick 1; at tick 2 it comes to cell 1, and is marked there."""
    assert sprayed(engine, 1, 10)["marks"] == {}
    state = sprayed(engine, 4, 10)
    assert state["marks"] == {"lane": [0, 1, 1, 1]}
    assert state["belts"]["lane"] == [["A", 2]] * 4
    count = state["counters"]["applicators"]["spray"]
    assert count == {"carriers": 3, "units": 6, "spent": 6, "dry": 0, "late": 0}
    assert state["applicators"]["spray"]["held"] == 4


def test_agent_is_opened_in_whole_units(engine: Engine) -> None:
    """A dose of 1/5: two units of a carrier take 2/5; the third carrier opens a second unit."""
    left = [
        sprayed(engine, ticks, 10, dose="1/5")["applicators"]["spray"] for ticks in (2, 3, 4, 5)
    ]
    assert [(tank["held"], tank["left"]) for tank in left] == [
        (9, "3/5"),
        (9, "1/5"),
        (8, "4/5"),
        (8, "2/5"),
    ]


def test_without_agent_carriers_go_on_unmarked(engine: Engine) -> None:
    state = sprayed(engine, 4, 3)
    assert state["marks"] == {"lane": [0, 0, 0, 1]}
    assert state["counters"]["applicators"]["spray"]["dry"] == 2
    assert state["applicators"]["spray"]["held"] == 1


def test_a_carrier_that_waits_is_marked_when_agent_comes(engine: Engine) -> None:
    build = Build("AW")
    build.belt("lane", 2)
    build.source("lane", "A")
    build.applicator("spray", ("lane", 1), "W", cap=3)
    build.store("box", 9)
    build.picker("feed", "box", "spray", 3)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stores"]["box"] = {"A": 1, "W": 9}
    states = history(engine, layout, 12, state=start)
    # taken at tick 1 - of A and W in the box only the agent is wanted -, in the tank at 4
    assert [state["marks"].get("lane", [0, 0])[1] for state in states[:6]] == [0, 0, 0, 0, 1, 1]
    assert states[-1]["applicators"]["spray"]["held"] == 2
    assert states[-1]["stores"]["box"] == {"A": 1, "W": 5}


def test_a_tank_never_holds_more_than_its_cap(engine: Engine) -> None:
    for habit, most in (("commit", 3), ("grab", 5)):
        build = Build("AW")
        build.belt("lane", 2)
        build.applicator("spray", ("lane", 1), "W", cap=3)
        build.store("box", 9)
        build.picker("feed", "box", "spray", 1, 2, habit)
        layout = build.layout()
        start = engine.run(layout, 0)
        start["stores"]["box"] = {"W": 9}
        state = engine.run(layout, 20, state=start)
        assert state["applicators"]["spray"]["held"] == 3
        assert 9 - state["stores"]["box"]["W"] == most - (habit == "grab") * 1


def test_credit_bounds_what_is_marked(engine: Engine) -> None:
    """Carriers of 2 units at every tick, one unit of credit a tick: every other one is marked."""
    state = sprayed(engine, 9, 99, cap=99, rate=1)
    assert state["marks"] == {"lane": [0, 0, 1, 0]}
    assert state["counters"]["applicators"]["spray"]["late"] == 4


def test_credit_is_bounded_itself(engine: Engine) -> None:
    """One step's gain more than a full stack: 1/3 + 4, after a long time without carriers."""
    build = Build("AW", stack=4)
    build.belt("lane", 4)
    build.applicator("spray", ("lane", 1), "W", rate="1/3")
    state = engine.run(build.layout(), 50)
    assert state["applicators"]["spray"]["credit"] == "13/3"


def test_only_what_is_named_and_lower_is_marked(engine: Engine) -> None:
    build = Build("ABW")
    build.belt("lane", 6)
    build.applicator("first", ("lane", 1), "W", 50, ["A"])
    build.applicator("second", ("lane", 3), "W", 50, level=3)
    build.applicator("third", ("lane", 4), "W", 50, level=2)
    layout = build.layout()
    start = engine.run(layout, 0)
    for name in ("first", "second", "third"):
        start["applicators"][name]["held"] = 50
    start["belts"]["lane"] = [["A", 1], ["B", 1], None, None, None, None]
    states = history(engine, layout, 5, state=start)
    assert states[1]["marks"] == {"lane": [0, 1, 0, 0, 0, 0]}
    assert states[2]["marks"] == {"lane": [0, 0, 1, 3, 0, 0]}
    assert states[5]["marks"] == {"lane": [0, 0, 0, 0, 3, 3]}
    assert states[5]["counters"]["applicators"]["third"]["carriers"] == 0


def graded(inputs: dict[str, int], grades: list[tuple[str, str]], **more: int) -> Build:
    """A station with grades."""
    build = Build("ABP")
    caps = dict.fromkeys(inputs, 20)
    build.station("m", 4, inputs, {"P": 2}, caps, more.get("cap", 20), grades=grades)
    return build


@pytest.mark.parametrize(
    ("marked", "grade", "left"),
    [
        ({}, 0, {}),
        ({"A": [5]}, 0, {"A": [2]}),  # B is not marked
        ({"A": [2], "B": [3]}, 0, {"A": [2], "B": [2]}),  # of A the unmarked ones go first
        ({"A": [5], "B": [3]}, 1, {"A": [2], "B": [2]}),
        ({"A": [1, 4], "B": [0, 3]}, 1, {"A": [0, 2], "B": [0, 2]}),
        ({"A": [0, 5], "B": [0, 3]}, 2, {"A": [0, 2], "B": [0, 2]}),
        ({"A": [0, 0, 5], "B": [0, 0, 0, 3]}, 2, {"A": [0, 0, 2], "B": [0, 0, 0, 2]}),
    ],
)
def test_the_lowest_mark_counts(
    engine: Engine, marked: Document, grade: int, left: Document
) -> None:
    """3 A and 1 B a cycle, of 5 and 3; two grades."""
    layout = graded({"A": 3, "B": 1}, [("3/2", "2"), ("2", "4")]).layout()
    start = engine.run(layout, 0)
    start["stations"]["m"].update(inputs={"A": 5, "B": 3}, marked=marked)
    begun = engine.run(layout, 1, state=start)
    assert begun["stations"]["m"]["grade"] == grade
    assert begun["stations"]["m"]["marked"] == left
    assert begun["stations"]["m"]["inputs"] == {"A": 2, "B": 2}
    # ticks are 1 s: cycles of 4, 2 and 1 s
    assert begun["stations"]["m"]["due"] == 1 + (4, 2, 1)[grade]
    ended = engine.run(layout, (4, 2, 1)[grade], state=begun)
    assert ended["stations"]["m"]["outlet"]["P"] == (2, 3, 4)[grade]
    assert ended["stations"]["m"]["grade"] == 0
    assert ended["counters"]["stations"]["m"]["graded"] == [int(grade == g) for g in (1, 2)]


def test_the_room_is_that_of_the_coming_batch(engine: Engine) -> None:
    """At the outlet there is room for 3: for a batch of grade 0, but not for one of grade 1."""
    for marked, starts in (({}, True), ({"A": [3]}, False)):
        layout = graded({"A": 3}, [("2", "1")], cap=3).layout()
        start = engine.run(layout, 0)
        start["stations"]["m"].update(inputs={"A": 3}, marked=marked)
        assert (engine.run(layout, 1, state=start)["stations"]["m"]["due"] is not None) == starts


def test_a_fraction_is_kept_over_grades(engine: Engine) -> None:
    """Batches of 2, 2 x 5/4 and 2 x 5/4: in all 7 units, after the second a half is kept."""
    layout = graded({"A": 1}, [("5/4", "4")]).layout()
    start = engine.run(layout, 0)
    start["stations"]["m"].update(inputs={"A": 3}, marked={"A": [2]})
    states = [engine.run(layout, ticks, state=start)["stations"]["m"] for ticks in (5, 6, 7)]
    assert [(state["outlet"]["P"], state["kept"]["P"]) for state in states] == [
        (2, "0"),
        (4, "1/2"),
        (7, "0"),
    ]


def test_a_cycle_by_chance_is_about_that_of_its_grade(engine: Engine) -> None:
    """Fixed and uniform without spread: the mean itself."""
    for law in (Law("fixed"), Law("uniform", Fraction(0))):
        layout = graded({"A": 1}, [("1", "4")]).layout()
        start = engine.run(layout, 0)
        start["stations"]["m"].update(inputs={"A": 2}, marked={"A": [1]})
        told = Disturbances(paces=(Pace("m", law),))
        count = engine.run(layout, 6, state=start, troubles=told)["counters"]["stations"]["m"]
        assert (count["ended"], count["graded"]) == (2, [1])


def test_stations_without_grades_forget_marks(engine: Engine) -> None:
    build = Build("AP")
    build.belt("lane", 1)
    build.station("m", 4, {"A": 2}, {"P": 1})
    build.picker("in", ("lane", 0), "m")
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["lane"], start["marks"] = [["A", 1]], {"lane": [2]}
    swings = engine.run(layout, 1, state=start)
    assert swings["pickers"]["in"]["mark"] == 2
    there = engine.run(layout, 1, state=swings)
    assert there["stations"]["m"]["inputs"] == {"A": 1}
    assert there["stations"]["m"]["marked"] == {}


def test_marks_go_with_the_units(engine: Engine) -> None:
    """Off a carrier into a store, of which low marks are served first, and onto a belt again."""
    build = Build("A")
    build.belt("lane", 1)
    build.store("box", 9)
    build.belt("out", 3)
    build.picker("in", ("lane", 0), "box", hand=2)
    build.picker("out hand", "box", ("out", 0), hand=4)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["belts"]["lane"], start["marks"] = [["A", 3]], {"lane": [2]}
    start["stores"]["box"], start["marked"] = {"A": 2}, {"box": {"A": [1]}}
    states = history(engine, layout, 8, state=start)
    # at tick 1 an unmarked unit is taken, which is put down at 2; then that of mark 1
    assert states[1]["pickers"]["out hand"]["count"] == 1
    assert states[1]["pickers"]["in"]["mark"] == 2
    assert states[1]["marks"] == {"lane": [2]}
    assert states[1]["marked"] == {"box": {"A": [1]}}
    assert states[2]["marks"] == {}
    assert states[2]["pickers"]["out hand"]["mark"] == 1
    assert states[2]["marked"] == {"box": {"A": [0, 2]}}
    assert [cell[1] for cell in states[8]["belts"]["out"]] == [3, 1, 1]
    assert states[8]["marks"] == {"out": [2, 1, 0]}


def test_gates_and_diverts_look_at_materials(engine: Engine) -> None:
    """Two of A are in, one of them marked: the quota of 2 is used up. Both leave by A's outlet."""
    build = Build("ABW")
    build.belt("fresh", 1)
    build.source("fresh", "A")
    build.belt("lane", 4)
    build.belt("a", 2)
    build.belt("b", 2)
    build.gate(["fresh"], "lane", "counted", quotas={"A": 2}, loop=("lane", "a", "b"))
    build.divert("lane", ["b", "a", "b 2"], "material", {"A": "a"})
    build.belt("b 2", 2)
    build.applicator("spray", ("lane", 1), "W", 1)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["applicators"]["spray"]["held"] = 1
    end = engine.run(layout, 30, state=start)
    assert end["belts"]["a"] == [["A", 1], ["A", 1]]
    assert end["marks"] == {"a": [0, 1]}
    assert end["belts"]["lane"] == [None] * 4


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"place": ("lane", 9)}, "spray: lane has no cell 9"),
        ({"place": ("way", 0)}, "spray: no belt way"),
        ({"agent": "X"}, "spray: no material X"),
        ({"materials": ["Y"]}, "spray: no material Y"),
        ({"level": 0}, "spray: a level of 0"),
        ({"rate": 0}, "spray: a rate of 0"),
    ],
)
def test_applicators_that_fit_nothing_are_refused(changes: dict[str, object], words: str) -> None:
    build = Build("AW")
    build.belt("lane", 4)
    told = {"name": "spray", "place": ("lane", 1), "agent": "W"} | changes
    build.applicator(**told)  # type: ignore[arg-type]
    with pytest.raises(LayoutError, match=words):
        CompiledEngine().run(build.layout(), 1)
