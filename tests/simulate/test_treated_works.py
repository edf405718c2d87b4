"""The rinse works as drawn: rate, agent, marks at the start, and an outage of the agent."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest

from loopwright.layout import place_project
from loopwright.layout.layout import Layout
from loopwright.plan import solve_plan
from loopwright.simulate import simulate_layout
from loopwright.simulate.document import state_document
from loopwright.simulate.reading import limits, read_run
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.simulate import start_state
from loopwright.simulate.state import State
from tests.block.test_batch import rinsed
from tests.engines import ENGINES

MINUTE = 60


@cache
def works(scope: str, speed: str = "1") -> Layout:
    project = rinsed({"speed": speed}, scope=scope, row=9 if speed == "1" else 6)
    return place_project(solve_plan(project), project).layout


def run_of(scope: str, start: str, span: int, warm_up: int, *outages: Outage) -> Run:
    scenario = Scenario(
        "run", start, Fraction(span), Fraction(warm_up), Fraction(MINUTE), outages=outages
    )
    return simulate_layout(works(scope), scenario)


def rate(run: Run) -> Fraction:
    return sum((sum(d.rates.values()) for d in read_run(run).drains), Fraction(0))


def held(state: State, material: str, mark: int) -> int:
    """Units of a material with that mark, anywhere."""
    count = 0
    for name, cells in state.belts.items():
        marks = state.marks.get(name, (0,) * len(cells))
        kinds = zip(cells, marks, strict=True)
        count += sum(cell[1] for cell, m in kinds if cell and (cell[0], m) == (material, mark))
    for station in state.stations.values():
        above = station.marked.get(material, ())
        if mark:
            count += above[mark - 1] if len(above) >= mark else 0
        else:
            count += station.inputs.get(material, 0) - sum(above)
    return count + sum(
        p.count for p in state.pickers.values() if (p.material, p.mark) == (material, mark)
    )


@pytest.mark.parametrize("scope", ["block", "site"])
@pytest.mark.parametrize("start", ["primed", "empty"])
def test_the_rate_is_that_of_the_plan(scope: str, start: str) -> None:
    """360 a minute, with ideal pickers, half an hour after the start."""
    run = run_of(scope, start, 60 * MINUTE, 30 * MINUTE)
    assert abs(rate(run) / 6 - 1) < Fraction(1, 100)
    graded = [one for one in run.layout.stations if one.recipe == "cap-candle"]
    for station in graded:
        end, warm = run.end.counters.stations[station.name], run.warm.stations[station.name]
        assert end.ended - warm.ended == sum(end.graded) - sum(warm.graded)


@pytest.mark.parametrize("scope", ["block", "site"])
def test_agent_is_spent_by_the_dose_of_the_plan_to_the_unit(scope: str) -> None:
    """What is opened is what is spent and what is left; a twentieth of a unit for each marked."""
    run = run_of(scope, "primed", 60 * MINUTE, 0)
    counts = run.end.counters.applicators
    for one in run.layout.applicators:
        tank = run.end.applicators[one.name]
        assert counts[one.name].spent - tank.left == Fraction(counts[one.name].units, 20)
    cycles = sum(
        run.end.counters.stations[one.name].started
        for one in run.layout.stations
        if one.recipe == "cap-candle"
    )
    for material, units in (("candle", 2), ("cap", 4)):
        marked = sum(
            counts[one.name].units for one in run.layout.applicators if material in one.materials
        )
        stock = held(run.end, material, 1) - held(run.start, material, 1)
        assert marked == units * cycles + stock
    (rinse,) = [one for one in read_run(run).balance if one.material == "rinse"]
    assert rinse.used == sum(c.spent for c in run.end.counters.applicators.values())


def test_a_primed_start_has_marked_what_passed_applicators() -> None:
    layout = works("block")
    state = start_state(layout, Scenario("run", "primed", Fraction(60), Fraction(0), Fraction(10)))
    for belt in layout.belts:
        over = [one.index for one in layout.applicators if one.belt == belt.name]
        marks = state.marks.get(belt.name, (0,) * len(belt.path))
        if over:
            assert list(marks) == [int(index >= min(over)) for index in range(len(marks))]
        elif "lane" in belt.name:
            assert set(marks) == {1}
        elif " line " in belt.name:
            assert set(marks) == {0}
    for station in state.stations.values():
        assert station.grade == 1
        assert station.marked == {name: (count,) for name, count in station.inputs.items()}
    assert all(state.applicators[one.name].held == one.cap for one in layout.applicators)


def test_without_agent_the_rate_falls_by_the_factor_and_comes_back() -> None:
    """6/s of marked batches are 5.4/s of others, 9/10: benches are as many as the plan asks for."""
    cut = Outage("rinse dock 1", Fraction(5 * MINUTE), Fraction(55 * MINUTE))
    run = run_of("block", "primed", 60 * MINUTE, 40 * MINUTE, cut)
    assert rate(run) == Fraction(54, 10)
    told = [limit for limit in limits(run, Fraction(6)) if limit.kind == "unmarked"]
    assert sum((limit.loss for limit in told), Fraction(0)) == Fraction(6, 10)
    assert "100 % of its batches were not marked" in told[0].sentence
    assert any("had no rinse at 100 % of its steps" in why for why in told[0].because)
    cut = Outage("rinse dock 1", Fraction(5 * MINUTE), Fraction(15 * MINUTE))
    back = run_of("block", "primed", 90 * MINUTE, 60 * MINUTE, cut)
    assert abs(rate(back) / 6 - 1) < Fraction(1, 100)


def test_stations_that_marks_make_faster_fall_back_to_their_own_cycle() -> None:
    """Twelve benches with 10/9 as much in 2/3 of the time: without agent 6/s become 3.6/s."""
    layout = works("block", "3/2")
    assert len(layout.stations) == 12
    warm, span = Fraction(20 * MINUTE), Fraction(40 * MINUTE)
    for start, asked in ((span, Fraction(6)), (Fraction(0), Fraction(18, 5))):
        cut = Outage("rinse dock 1", start, span)
        scenario = Scenario("run", "primed", span, warm, Fraction(MINUTE), outages=(cut,))
        assert abs(rate(simulate_layout(layout, scenario)) / asked - 1) < Fraction(1, 100)


def test_both_programs_run_the_bay_alike() -> None:
    layout = works("block")
    start = state_document(
        start_state(layout, Scenario("run", "primed", Fraction(60), Fraction(0), Fraction(10)))
    )
    found = [engine.run(layout, 300, state=start) for engine in ENGINES]
    assert found[0] == found[1]
    assert sum(one["units"] for one in found[0]["counters"]["applicators"].values()) > 0


def test_the_rate_holds_as_long_as_agent_and_marked_stock_last() -> None:
    """A units of agent on the site at the cut mark 20 A units more; with M marked ones in stock and
    batches of 6, no more than (20 A + M) / 6 batches are marked after the cut; fewer, as far as one
    material runs out of marks before the other."""
    before = run_of("block", "primed", 5 * MINUTE, 0)
    cut = Outage("rinse dock 1", Fraction(5 * MINUTE), Fraction(55 * MINUTE))
    after = run_of("block", "primed", 60 * MINUTE, 0, cut)
    state = before.end
    agent = sum((one.held + one.left for one in state.applicators.values()), Fraction(0)) + held(
        state, "rinse", 0
    )
    marked = held(state, "candle", 1) + held(state, "cap", 1)
    batches = sum(
        sum(after.end.counters.stations[name].graded)
        - sum(before.end.counters.stations[name].graded)
        for name in state.stations
    )
    under_way = sum(one.grade for one in state.stations.values())
    most = (20 * agent + marked) / 6 + under_way
    assert most / 2 < batches <= most
