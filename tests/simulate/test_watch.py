"""A watched run is the run: however it is stopped, turned back and looked at."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.layout.layout import Layout
from loopwright.layout.rule import GATE_RULES, ruled_layout, rules_of
from loopwright.simulate import simulate_layout
from loopwright.simulate.disturbance import Disturbances, Failure, Missed, Slow
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.state import State
from loopwright.simulate.watch import Watch, read_device
from loopwright.simulate.watch.diary import MOST_MARKS
from loopwright.simulate.watch.view import BLOCKED, BUSY, STARVED
from tests.layouts.build import Build
from tests.layouts.plants import one_of_each, sprayed

OUT = Outage("a 1 source", Fraction(60), Fraction(20))
TROUBLES = Disturbances(
    failures=(Failure("st 1", Fraction(40), Fraction(7)),),
    missed=(Missed("p 2", Fraction(1, 5)),),
    slow=(Slow("lane 1", 3, 2), Slow("lane 2", None, 3)),
)


def plan(span: Fraction | int, *outages: Outage, troubles: bool = False) -> Scenario:
    told = TROUBLES if troubles else Disturbances()
    return Scenario(
        "watched", "empty", Fraction(span), Fraction(0), Fraction(10), outages, False, 7, told
    )


def simulated(layout: Layout, ticks: int, scenario: Scenario) -> State:
    """The state after `ticks` of an ordinary run."""
    tick = Watch(layout, scenario).tick
    return simulate_layout(layout, replace(scenario, span=ticks * tick)).end


@settings(max_examples=25)
@given(st.lists(st.integers(0, 400), min_size=1, max_size=8), st.booleans())
def test_wherever_it_is_turned_it_is_the_run(times: list[int], troubles: bool) -> None:
    layout, scenario = one_of_each(), plan(400, OUT, troubles=troubles)
    watch = Watch(layout, scenario)
    for time in times:
        watch.seek(Fraction(time))
        assert watch.time >= time > watch.time - watch.tick
    assert watch.state() == simulated(layout, watch.now, scenario)


def test_with_marks_too_it_is_the_run() -> None:
    layout, scenario = sprayed(), plan(400)
    watch = Watch(layout, scenario)
    for time in (300, 40, 333, 120):
        watch.seek(Fraction(time))
        assert watch.state() == simulated(layout, watch.now, scenario)
    names = list(watch.era.plant.wiring.materials)
    cells = [cell for belt in watch.state().belts.values() for cell in belt]
    seen = [(names[code >> 4], code & 15) if code else None for code in watch.view().cells.tolist()]
    assert seen == [cell and cell[:2] for cell in cells]


def test_tick_by_tick_or_at_once() -> None:
    layout, scenario = one_of_each(), plan(30, OUT)
    one, other = Watch(layout, scenario), Watch(layout, scenario)
    for tick in range(1, 151):
        one.run_to(tick)
        one.view()
    other.run_to(150)
    assert one.state() == other.state() == simulated(layout, 150, scenario)


def test_waking_the_engine_carries_out_no_tick() -> None:
    watch = Watch(one_of_each(), plan(60))
    before = watch.state()
    watch.wake()
    assert watch.state() == before


def test_a_supply_that_is_stopped_is_an_outage() -> None:
    layout, scenario = one_of_each(), plan(300, OUT)
    watch = Watch(layout, scenario)
    watch.seek(Fraction(100))
    watch.supply(["c source", "b 1 source"], on=False)
    assert watch.stopped_sources() == ("b 1 source", "c source")
    watch.supply(["c source"], on=False)
    watch.seek(Fraction(150))
    watch.supply(["c source"], on=True)
    watch.seek(Fraction(200))
    watch.seek(Fraction(30))
    assert watch.stopped_sources() == ()
    watch.seek(Fraction(250))
    assert watch.stopped_sources() == ("b 1 source",)
    assert watch.state() == simulated(layout, watch.now, watch.scenario)
    told = {outage.source: outage for outage in watch.scenario.outages}
    assert told["c source"].span == 50
    assert told[OUT.source] == OUT


def test_an_outage_of_the_scenario_can_be_ended_early() -> None:
    layout, scenario = one_of_each(), plan(300, OUT)
    watch = Watch(layout, scenario)
    watch.seek(Fraction(65))
    assert watch.stopped_sources() == (OUT.source,)
    watch.supply([OUT.source], on=True)
    watch.seek(Fraction(120))
    assert watch.state() == simulated(layout, watch.now, watch.scenario)
    (outage,) = watch.scenario.outages
    assert outage.span < 10


def test_what_is_done_earlier_undoes_what_was_done_later() -> None:
    layout, scenario = one_of_each(), plan(300)
    watch = Watch(layout, scenario)
    watch.seek(Fraction(100))
    watch.supply(["c source"], on=False)
    watch.seek(Fraction(200))
    assert watch.reach == watch.now
    watch.seek(Fraction(50))
    watch.supply(["b 1 source"], on=False)
    assert watch.reach == watch.now
    watch.seek(Fraction(200))
    assert watch.stopped_sources() == ("b 1 source",)
    assert watch.state() == simulated(layout, watch.now, watch.scenario)


@pytest.mark.parametrize("rule", GATE_RULES)
def test_another_rule_holds_from_then_on(rule: str) -> None:
    layout, scenario = one_of_each(), plan(300)
    gate = next(gate for gate in layout.gates if gate.main)
    if rule not in rules_of(layout, gate.name):
        with pytest.raises(ValueError, match="cannot be"):
            ruled_layout(layout, gate.name, rule)
        return
    watch = Watch(layout, scenario)
    watch.seek(Fraction(100))
    before = watch.state()
    watch.rule([gate.name], rule)
    assert watch.layout == ruled_layout(layout, gate.name, rule)
    after = watch.state()
    assert after.belts == before.belts
    assert after.counters == before.counters
    watch.seek(Fraction(170))
    there = watch.state()
    going_on = simulate_layout(watch.layout, replace(scenario, span=Fraction(70)), start=after)
    assert going_on.end == there
    watch.seek(Fraction(20))
    assert watch.layout == layout
    watch.seek(Fraction(170))
    assert watch.state() == there


def test_what_is_seen_is_what_is_there() -> None:
    layout, scenario = one_of_each(), plan(300)
    watch = Watch(layout, scenario)
    names = list(watch.era.plant.wiring.materials)
    for tick in range(20, 600, 7):
        watch.run_to(tick)
        view, state = watch.view(), watch.state()
        cells = [cell for belt in state.belts.values() for cell in belt]
        seen = [(names[code >> 4], code & 15) if code else None for code in view.cells.tolist()]
        assert seen == cells
        working = [station.due is not None for station in state.stations.values()]
        assert [told & 7 == BUSY for told in view.stations.tolist()] == working
        hands = [picker.material for picker in state.pickers.values()]
        assert [names[(h & 63) - 1] if h & 63 else None for h in view.pickers.tolist()] == hands


def test_what_stood_at_the_last_step_did_not_move() -> None:
    """A belt from a dock to a slow drain: the queue stands while the rest comes up."""
    build = Build("A")
    build.belt("way", 12)
    build.source("way", "A", Fraction(1, 3))
    build.belt("out", 3, Fraction(1, 5))
    build.merge(["way"], "out")
    build.drain("out")
    watch = Watch(build.layout(), plan(300))
    step = int(1 / watch.tick)  # of the belt `way`
    at = list(watch.era.plant.wiring.belts).index("way")
    first, last = watch.era.lens.firsts[at : at + 2].tolist()
    seen = 0
    for before in range(0, 200 * step, step):
        watch.run_to(before)
        old = watch.view().cells[first:last].tolist()
        watch.run_to(before + step)
        view = watch.view()
        new, stood = view.cells[first:last].tolist(), int(view.stood[at])
        front = len(new) - stood
        assert new[front:] == old[front:]
        if any(old[:front]):
            assert new[1:front] == old[: front - 1]
            seen += 1
    assert seen > 50


def test_counts_of_stations() -> None:
    layout, scenario = one_of_each(), plan(200)
    watch = Watch(layout, scenario)
    watch.seek(Fraction(200))
    view = watch.view()
    assert sum(map(view.doing, (BUSY, BLOCKED, STARVED))) == len(layout.stations)
    drains = watch.state().counters.drains
    made = sum(sum(drains[d.name].units.values()) for d in layout.drains if d.purpose == "product")
    assert watch.made() == made
    assert watch.rate() * 60 == made - watch.diary.total(watch.beat - 12)


def test_what_a_station_waits_for_is_seen_before_the_first_tick() -> None:
    watch = Watch(one_of_each(), plan(200))
    assert watch.view().doing(STARVED) == len(watch.layout.stations)
    watch.seek(Fraction(77))
    before = watch.view().stations.tolist()
    watch.supply(["c source"], on=False)
    assert watch.view().stations.tolist() == before


def test_marks_are_thinned_and_still_lead_everywhere() -> None:
    build = Build("A")
    build.belt("way", 5)
    build.source("way", "A", Fraction(1, 2))
    build.drain("way")
    layout, scenario = build.layout(), plan(9000)
    watch = Watch(layout, scenario)
    watch.seek(Fraction(9000))
    assert 60 < len(watch.diary.marks) <= MOST_MARKS
    gaps = [b.tick - a.tick for a, b in pairwise(watch.diary.marks)]
    assert max(gaps) <= 2 * min(gaps)
    watch.seek(Fraction(4321))
    assert watch.state() == simulated(layout, watch.now, scenario)


@pytest.mark.parametrize("layout", [one_of_each(), sprayed()], ids=lambda one: one.title)
def test_readings_of_every_device(layout: Layout) -> None:
    scenario = plan(200)
    watch = Watch(layout, scenario)
    watch.seek(Fraction(123))
    kinds = (
        layout.belts, layout.sources, layout.drains, layout.merges, layout.side_merges,
        layout.diverts, layout.gates, layout.stations, layout.stores, layout.pickers,
        layout.applicators,
    )  # fmt: skip
    for kind in kinds:
        for device in kind:
            reading = read_device(watch, device.name)
            assert reading.facts
            if reading.past is not None:
                assert reading.past.times[-1] == float(watch.time)
    station = read_device(watch, layout.stations[0].name)
    assert station.past is not None
    for at in range(len(station.past.times)):
        assert sum(line.values[at] for line in station.past.lines) == pytest.approx(1)
    with pytest.raises(KeyError):
        read_device(watch, "nothing of that name")


def jamming() -> Layout:
    """A loop under an open gate, whose pickers want both materials."""
    build = Build("ABP")
    for name in "AB":
        build.belt(f"supply {name}", 2, role="supply")
        build.source(f"supply {name}", name, None)
    build.belt("lane", 14)
    build.belt("back", 6, role="return")
    build.gate(
        ["supply A", "supply B"], "lane", "open", "back", {"A": 1, "B": 1}, loop=("lane", "back")
    )
    build.merge(["lane"], "back")
    build.belt("out", 10, role="output")
    build.drain("out")
    for number in (1, 2):
        station = build.station(
            f"st {number}", Fraction(2), {"A": 1, "B": 1}, {"P": 1}, {"A": 2, "B": 2}
        )
        build.picker(f"in {number}", ("lane", 3 * number), station, Fraction(1, 2))
        build.picker(f"out {number}", station, ("out", number), Fraction(1, 2))
    return build.layout()


def test_a_jam_is_told_and_goes_when_it_is_cleared_in_the_past() -> None:
    watch = Watch(jamming(), plan(600))
    watch.seek(Fraction(60))
    assert watch.standstill is None
    assert watch.rate() > 0
    watch.supply(["supply B source"], on=False)
    watch.seek(Fraction(200))
    assert watch.standstill is None, "it waits for a supply that is out"
    watch.supply(["supply B source"], on=True)
    watch.seek(Fraction(400))
    told = watch.standstill
    assert told is not None
    assert told.whole
    assert "lane and back are full of A, so no B can come in" in told.sentence
    assert {"lane", "back"} <= set(told.belts)
    assert watch.rate() == 0
    watch.seek(Fraction(30))
    assert watch.standstill is None
    watch.seek(Fraction(400))
    assert watch.standstill == told
    watch.seek(Fraction(50))
    watch.supply(["supply A source"], on=True)  # nothing to do: the future stays
    watch.seek(Fraction(400))
    assert watch.standstill == told
    watch.seek(Fraction(55))
    watch.rule(["lane gate"], "ratio-locked")
    watch.seek(Fraction(400))
    assert watch.standstill is None
    assert watch.rate() > 0
