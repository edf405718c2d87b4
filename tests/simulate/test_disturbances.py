"""Each disturbance by itself, on both engines, with the numbers that the rules give."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.simulate.disturbance import (
    Arrivals,
    BrownOut,
    Disturbances,
    Failure,
    Foreign,
    Law,
    Missed,
    Pace,
    Removal,
    Slow,
    Supply,
)
from loopwright.simulate.limit import EngineLimitError, LayoutError
from tests.engines import Engine, history
from tests.layouts.build import Build
from tests.twins.compiled import CompiledEngine

FIXED = Law("fixed")


def machine(cycle: int = 4) -> Build:
    """A station that never waits."""
    build = Build("AB")
    build.station("m", cycle, {"A": 1}, {"B": 1}, {"A": 999}, outlet_cap=999)
    build.store("box", 1)
    build.picker("p", "box", "m", 1)
    return build


def worked(engine: Engine, ticks: int, told: Disturbances, cycle: int = 4) -> dict[str, int]:
    """The counters of the machine after some ticks."""
    layout = machine(cycle).layout()
    start = engine.run(layout, 0)
    start["stations"]["m"]["inputs"]["A"] = 999
    count = engine.run(layout, ticks, (), start, told)["counters"]["stations"]["m"]
    return {name: count[name] for name in ("started", "ended", "busy", "down", "failed")}


def test_operation_dependent_failures_count_busy_ticks(engine: Engine) -> None:
    """Busy at ticks 1-6, down at 7-9, busy at 10-15, and so on: two thirds of the time."""
    told = Disturbances(failures=(Failure("m", Fraction(6), Fraction(3), "work", FIXED),))
    count = worked(engine, 90, told)
    # 60 busy ticks are 15 cycles; the last ends just after the 90th tick
    assert count == {"started": 15, "ended": 14, "busy": 60, "down": 30, "failed": 10}


def test_an_idle_station_fails_by_time_only(engine: Engine) -> None:
    for clock, down in (("work", 0), ("time", 30)):
        failure = Failure("m", Fraction(6), Fraction(3), clock, FIXED)
        layout = machine().layout()
        end = engine.run(layout, 90, (), None, Disturbances(failures=(failure,)))
        assert end["counters"]["stations"]["m"]["down"] == down


def test_a_brown_out_slows_the_cycles_that_start_in_it(engine: Engine) -> None:
    """Starts at 1, 5, 9; from tick 6 to 25 at half speed: 9, 17, then 25, 29."""
    told = Disturbances(brown_outs=(BrownOut(Fraction(6), Fraction(19), Fraction(1, 2)),))
    layout = machine().layout()
    start = engine.run(layout, 0)
    start["stations"]["m"]["inputs"]["A"] = 999
    states = history(engine, layout, 30, (), start, told)
    started = [state["counters"]["stations"]["m"]["started"] for state in states]
    assert [t for t in range(1, 31) if started[t] > started[t - 1]] == [1, 5, 9, 17, 25, 29]


def test_listed_cycles_take_listed_times(engine: Engine) -> None:
    law = Law("empirical", values=(Fraction(2), Fraction(9)))
    count = worked(engine, 400, Disturbances(paces=(Pace("m", law),)))
    # n cycles of 2 and k of 9: about as many of each
    assert 60 <= count["started"] <= 90


def test_a_missed_pick_costs_a_swing_and_moves_nothing(engine: Engine) -> None:
    build = Build("A")
    build.store("box", 999)
    build.store("other", 999)
    build.picker("p", "box", "other", 2)
    layout = build.layout()
    start = engine.run(layout, 0)
    start["stores"]["box"] = {"A": 999}
    told = Disturbances(missed=(Missed("p", Fraction(1, 2)),))
    counters = engine.run(layout, 400, (), start, told)["counters"]
    # the tick is the swing: 400 of them, about half for nothing
    assert counters["picks"]["p"] + counters["missed"]["p"] == 400
    assert 160 <= counters["missed"]["p"] <= 240


def lane(length: int = 4, rate: str | None = None) -> Build:
    """A source, a belt and a drain."""
    build = Build("AB")
    build.belt("x", length)
    build.source("x", "A", rate)
    build.drain("x")
    return build


@pytest.mark.parametrize("index", [None, 1])
def test_every_other_step_halves_the_flow(engine: Engine, index: int | None) -> None:
    told = Disturbances(slow=(Slow("x", index, 2),))
    ends = [engine.run(lane().layout(), ticks, (), None, told) for ticks in (50, 150)]
    taken = [end["counters"]["drains"]["x drain"]["carriers"]["A"] for end in ends]
    assert taken[1] - taken[0] == 50


def test_a_cell_that_refuses_everything_holds_all_back(engine: Engine) -> None:
    told = Disturbances(slow=(Slow("x", 1, 1, Fraction(1)),))
    end = engine.run(lane().layout(), 50, (), None, told)
    assert end["belts"]["x"] == [["A", 1], ["A", 1], None, None]


def test_a_supply_that_changes(engine: Engine) -> None:
    """Half a carrier a step until tick 20, none until 40, then one."""
    told = Disturbances(
        supplies=(
            Supply("x source", Fraction(40), Fraction(1)),
            Supply("x source", Fraction(20), Fraction(0)),
        )
    )
    layout = lane(rate="1/2").layout()
    put = [
        engine.run(layout, ticks, (), None, told)["counters"]["sources"]["x source"]["carriers"]
        for ticks in (19, 39, 60)
    ]
    assert put == [9, 9, 30]


def test_arrivals_wait_or_are_lost(engine: Engine) -> None:
    """One arrival each 2 s at a belt that stands: the dock holds 3 of the 10 of 20 ticks, and the
    cells of the belt hold the first two."""
    build = Build("A")
    build.belt("x", 2)
    build.source("x", "A", "1/2")
    told = Disturbances(arrivals=(Arrivals("x source", FIXED, 3),))
    end = engine.run(build.layout(), 20, (), None, told)
    count = end["counters"]["sources"]["x source"]
    assert (count["arrived"], count["lost"], count["carriers"]) == (10, 5, 2)
    assert end["credits"]["x source"] == "3"
    assert end["arrivals"] == {"x source": 22}


def test_a_foreign_carrier_takes_the_place_of_what_is_there(engine: Engine) -> None:
    told = Disturbances(
        foreign=(Foreign("x", 1, "B", 3, Fraction(10)),), removals=(Removal("x", 2, Fraction(10)),)
    )
    end = engine.run(lane().layout(), 40, (), None, told)
    assert end["counters"]["put"] == {"B": 3}
    assert end["counters"]["removed"] == {"A": 2}
    assert end["counters"]["drains"]["x drain"]["units"]["B"] == 3


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (Disturbances(paces=(Pace("n", FIXED),)), "the station n, which is not there"),
        (Disturbances(paces=(Pace("m", FIXED), Pace("m", FIXED))), "m: two disturbances of one"),
        (Disturbances(paces=(Pace("m", Law("normal")),)), "m: no law normal"),
        (Disturbances(paces=(Pace("m", Law("empirical")),)), "without values"),
        (Disturbances(missed=(Missed("p", Fraction(1)),)), "misses 1 of its picks"),
        (Disturbances(failures=(Failure("m", Fraction(1), Fraction(1), "luck"),)), "count luck"),
        (Disturbances(slow=(Slow("x", 3),)), "x: no cell 3 that is not its last"),
        (Disturbances(removals=(Removal("x", 4, Fraction(1)),)), "x: no cell 4"),
        (Disturbances(arrivals=(Arrivals("x source", FIXED),)), "x source: it has no rate"),
        (Disturbances(brown_outs=(BrownOut(Fraction(0), Fraction(1), Fraction(0)),)), "speed of 0"),
    ],
)
def test_what_makes_no_sense_is_refused(told: Disturbances, words: str) -> None:
    build = machine()
    build.belt("x", 4)
    build.source("x", "A")
    with pytest.raises(LayoutError, match=words):
        CompiledEngine().run(build.layout(), 1, (), None, told)


def test_a_mean_beyond_the_engine_is_refused() -> None:
    told = Disturbances(failures=(Failure("m", Fraction(2**40), Fraction(1)),))
    with pytest.raises(EngineLimitError, match="m: a mean of"):
        CompiledEngine().run(machine().layout(), 1, (), None, told)
