"""Readings are what the counters say: each is worked out again from the state documents."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from loopwright.layout.document import layout_document
from loopwright.simulate.reading.count import read_run
from loopwright.simulate.reading.readings import Readings
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Outage
from reference.audit import held
from reference.start import read_state
from tests.layouts.build import Build
from tests.layouts.plants import one_of_each
from tests.simulate.recorded import recorded, scenario

Document = dict[str, Any]
WARM, SPAN = 47, 203


@pytest.fixture(scope="module")
def plant() -> tuple[Run, Readings, list[Document]]:
    """Every kind of device, with an outage in the run and bins that do not fit into it."""
    outages = (Outage("a 1 source", Fraction(60), Fraction(20)),)
    run, states = recorded(one_of_each(), scenario(SPAN, WARM, 20, outages))
    return run, read_run(run), states


def test_rates_are_units_taken_after_the_warm_up(plant: Any) -> None:
    run, readings, (_, warm, end) = plant
    span = (end["tick"] - warm["tick"]) * run.tick
    assert readings.span == span
    for drain in readings.drains:
        before = warm["counters"]["drains"][drain.name]
        after = end["counters"]["drains"][drain.name]
        for material, units in after["units"].items():
            counted = units - before["units"].get(material, 0)
            assert drain.rates.get(material, 0) == counted / span
        assert drain.carriers * span == sum(after["carriers"].values()) - sum(
            before["carriers"].values()
        )
    assert readings.rate == sum(drain.rate for drain in readings.drains)
    assert readings.rate > 0


def test_the_series_holds_every_unit_and_its_last_bin_is_short(plant: Any) -> None:
    _, readings, (_, _, end) = plant
    ends = readings.series.ends
    assert ends == (*(Fraction(20 * i) for i in range(1, 11)), Fraction(SPAN))
    widths = [b - a for a, b in zip((Fraction(0), *ends), ends, strict=False)]
    total = sum(rate * width for rate, width in zip(readings.series.rates, widths, strict=True))
    drains = end["counters"]["drains"]
    assert total == sum(sum(drain["units"].values()) for drain in drains.values())
    parts = readings.drain_series.values()
    assert readings.series.rates == tuple(map(sum, zip(*(p.rates for p in parts), strict=True)))


def test_stations_account_for_every_tick(plant: Any) -> None:
    run, readings, (_, warm, end) = plant
    ticks = end["tick"] - warm["tick"]
    for station in readings.stations:
        before = warm["counters"]["stations"][station.name]
        after = end["counters"]["stations"][station.name]
        assert station.busy * ticks == after["busy"] - before["busy"]
        assert station.blocked * ticks == after["blocked"] - before["blocked"]
        for material, share in station.starved.items():
            assert share * ticks == after["starved"][material] - before["starved"][material]
        assert station.busy + station.blocked + station.waiting == 1
    (row,) = readings.rows
    assert row.stations == len(run.layout.stations)
    assert row.busy == sum(station.busy for station in readings.stations) / row.stations
    assert row.busy + row.blocked + row.waiting == 1


def test_joints_are_counted_by_the_steps_of_their_belts(plant: Any) -> None:
    run, readings, (_, warm, end) = plant
    speeds = {belt.name: belt.speed for belt in run.layout.belts}
    assert {joint.kind for joint in readings.joints} == {"gate", "merge", "side merge"}
    for joint in readings.joints:
        period = 1 / speeds[joint.belt] / run.tick
        steps = sum(tick % period == 0 for tick in range(warm["tick"] + 1, end["tick"] + 1))
        before = warm["counters"]["joints"][joint.name]
        after = end["counters"]["joints"][joint.name]
        passed = [b - a for a, b in zip(before["passed"], after["passed"], strict=True)]
        assert joint.steps == steps
        assert joint.offered == after["offered"] - before["offered"] <= steps
        assert [count for _, count in joint.passed] == passed
        assert joint.use is None or joint.use == Fraction(sum(passed), joint.offered)


def test_sources_tell_what_was_refused(plant: Any) -> None:
    _, readings, (_, warm, end) = plant
    for source in readings.sources:
        before = warm["counters"]["sources"][source.name]
        after = end["counters"]["sources"][source.name]
        put, refused = (after[key] - before[key] for key in ("carriers", "refused"))
        assert source.carriers == put
        assert source.rate * readings.span == after["units"] - before["units"]
        assert source.refused == (Fraction(refused, put + refused) if put + refused else None)


def test_belts_and_stock_are_what_stands_there_at_the_end(plant: Any) -> None:
    run, readings, (_, _, end) = plant
    for belt in readings.belts:
        cells = end["belts"][belt.name]
        full = [cell for cell in cells if cell]
        assert belt.fill == Fraction(len(full), len(cells))
        assert belt.load == (Fraction(sum(c for _, c in full), len(full)) if full else None)
        units: Counter[str] = Counter()
        for material, count in full:
            units[material] += count
        assert belt.units == units
    stock = {entry.material: entry.units for entry in readings.stocks}
    there = held(layout_document(run.layout), read_state(end))
    assert {m: n for m, n in stock.items() if n} == {m: n for m, n in there.items() if n}


def test_the_account_holds_for_every_material(plant: Any) -> None:
    run, readings, (start, _, end) = plant
    for entry in readings.balance:
        assert entry.holds
        first, last = (held(layout_document(run.layout), read_state(one)) for one in (start, end))
        assert entry.start == first[entry.material]
        assert entry.held == last[entry.material]
        put = [
            end["counters"]["sources"][source.name]["units"]
            for source in run.layout.sources
            if source.material == entry.material
        ]
        assert entry.put == sum(put)
    assert {entry.material for entry in readings.balance if entry.made} == {"P"}


def test_flow_at_a_head_is_what_the_next_device_counts(plant: Any) -> None:
    run, readings, (_, warm, end) = plant
    drains = {drain.belt: drain.name for drain in run.layout.drains}
    for belt in readings.belts:
        if belt.name in drains:
            taken = [
                sum(state["counters"]["drains"][drains[belt.name]]["carriers"].values())
                for state in (warm, end)
            ]
            speed = next(one.speed for one in run.layout.belts if one.name == belt.name)
            period = 1 / speed / run.tick
            steps = sum(t % period == 0 for t in range(warm["tick"] + 1, end["tick"] + 1))
            assert belt.flow == Fraction(taken[1] - taken[0], steps)


def test_a_picker_that_swings_without_end_is_in_use_all_the_time() -> None:
    build = Build("AB")
    build.belt("in", 2)
    build.source("in", "A")
    build.station("m", 1, {"A": 1}, {"B": 1}, {"A": 4})
    build.belt("out", 2)
    build.drain("out")
    build.picker("in hand", ("in", 1), "m", swing=3)
    build.picker("out hand", "m", ("out", 0), swing=1)
    run, _ = recorded(build.layout(), scenario(63, 3))
    use = {picker.name: picker.use for picker in read_run(run).pickers}
    assert use["in hand"] == 1
    # one unit in three seconds; each takes its swing and no more
    assert use["out hand"] == Fraction(1, 3)


def test_waste_is_no_product() -> None:
    build = Build("A")
    build.belt("x", 3)
    build.source("x")
    build.drain("x")
    layout = build.layout()
    waste = replace(layout, drains=tuple(replace(d, purpose="waste") for d in layout.drains))
    run, _ = recorded(waste, scenario(30, 10))
    readings = read_run(run)
    assert readings.rate == 0
    assert readings.drains[0].rate == 1
    assert readings.missing(Fraction(1, 2)) == Fraction(1, 2)


def test_a_run_that_ends_in_its_warm_up_cannot_be_read() -> None:
    build = Build("A")
    build.belt("x", 3)
    build.source("x")
    run, _ = recorded(build.layout(), scenario(20, 20))
    with pytest.raises(ValueError, match="warm-up"):
        read_run(run)
