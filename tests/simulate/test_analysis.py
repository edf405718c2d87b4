"""What samples say: bottleneck, drift, profile of a belt, start-up, intervals."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from loopwright.layout.layout import Layout
from loopwright.simulate import simulate_layout
from loopwright.simulate.pace import full_rate_bin
from loopwright.simulate.reading import read_run
from loopwright.simulate.reading.bottleneck import bottleneck
from loopwright.simulate.reading.drift import drifts
from loopwright.simulate.reading.effectiveness import row_effectiveness
from loopwright.simulate.reading.interval import batch_interval, mean_interval
from loopwright.simulate.reading.loops import loops_of
from loopwright.simulate.reading.profile import belt_profile
from loopwright.simulate.reading.start_up import start_up
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Scenario
from tests.layouts.build import Build
from tests.layouts.plants import one_of_each


def plan(span: int, warm_up: int = 0, width: int = 10) -> Scenario:
    return Scenario("test", "empty", Fraction(span), Fraction(warm_up), Fraction(width))


def two_stages(first: int, second: int) -> Layout:
    """A -> B in `first` [s], then B -> C in `second` [s], a short belt between."""
    build = Build("ABC")
    build.belt("in", 3)
    build.source("in", "A")
    build.station("one", first, {"A": 1}, {"B": 1}, outlet_cap=1)
    build.station("two", second, {"B": 1}, {"C": 1}, outlet_cap=4)
    build.belt("between", 3)
    build.belt("out", 3)
    build.drain("out")
    build.picker("p 1", ("in", 1), "one", Fraction(1, 2))
    build.picker("p 2", "one", ("between", 0), Fraction(1, 2))
    build.picker("p 3", ("between", 2), "two", Fraction(1, 2))
    build.picker("p 4", "two", ("out", 0), Fraction(1, 2))
    layout = build.layout()
    stations = tuple(replace(one, row=f"stage {one.name}") for one in layout.stations)
    return replace(layout, stations=stations)


@pytest.mark.parametrize(("first", "second", "named"), [(4, 9, "stage two"), (9, 4, "stage one")])
def test_the_slow_stage_is_the_bottleneck(first: int, second: int, named: str) -> None:
    run = simulate_layout(two_stages(first, second), plan(600, 60))
    found = bottleneck(run)
    assert found is not None
    assert found.named == (named,)
    assert found.rows[0].mean == found.span == 540
    assert found.rows[0].share == 1
    assert named in found.sentence


def test_without_a_busy_station_nothing_is_named() -> None:
    layout = two_stages(1, 1)
    slow = replace(layout, sources=tuple(replace(s, rate=Fraction(1, 20)) for s in layout.sources))
    found = bottleneck(simulate_layout(slow, plan(600, 60)))
    assert found is not None
    assert found.named == ()
    assert "not a station" in found.sentence


def with_carriers(run: Run, name: str, counts: list[int]) -> Run:
    """`run` with other counts of the first material on a belt."""
    assert run.samples is not None
    carriers = np.zeros_like(run.samples.carriers)
    carriers[:, run.samples.belts.index(name), 0] = counts
    return replace(run, samples=replace(run.samples, carriers=carriers))


def test_a_steady_fall_is_a_drift_and_noise_is_none() -> None:
    run = simulate_layout(one_of_each(), plan(1000))
    (loop,) = loops_of(run.layout)
    assert loop.belts == ("lane 1", "lane 2", "lane 10")
    assert loop.cells == 22
    falling = with_carriers(run, "lane 1", [12 - number // 10 for number in range(100)])
    (found,) = drifts(falling)
    assert found.material == "A"
    assert found.slope == Fraction(-1, 100)
    assert found.left == 300  # three carriers are left, and one goes in 100 s
    assert "falls" in found.sentence
    assert drifts(with_carriers(run, "lane 1", [6 + number % 2 for number in range(100)])) == ()
    assert drifts(with_carriers(run, "lane 1", [6] * 100)) == ()


def test_a_profile_counts_what_was_seen_after_the_warm_up() -> None:
    run: Any = simulate_layout(one_of_each(), plan(400, 100))
    profile = belt_profile(run, "lane 1")
    assert profile.samples == 30
    assert profile.end == run.end.belts["lane 1"]
    index = run.samples.belts.index("lane 1")
    after = run.samples.carriers[10:, index].sum(axis=0)
    for number, material in enumerate(run.samples.materials):
        assert sum(profile.seen.get(material, ())) == after[number]
    assert sum(profile.mix.values()) == 1
    assert profile.fill == Fraction(int(after.sum()), 30 * 12)
    assert 0 <= profile.share("A", 3) <= 1


def test_start_up_is_told_in_whole_bins() -> None:
    run = simulate_layout(two_stages(4, 4), plan(600))
    times = start_up(run, Fraction(1, 4))
    assert times.first_product == 20
    assert times.full_rate is not None
    assert times.full_rate <= 30
    assert start_up(run, Fraction(2)).full_rate is None
    assert full_rate_bin([0, 0, *[10] * 10], Fraction(1), Fraction(10)) == 2
    assert full_rate_bin([10] * 9, Fraction(1), Fraction(10)) is None


def test_rows_lose_effectiveness_by_waiting() -> None:
    run = simulate_layout(two_stages(4, 9), plan(600, 60))
    one, two = row_effectiveness(run, read_run(run))
    assert two.overall == two.performance > Fraction(9, 10)
    assert one.overall < Fraction(1, 2)


def test_batches_that_depend_on_each_other_are_told() -> None:
    level = batch_interval([1, 3] * 40)
    assert level is not None
    assert (level.mean, level.half_width, level.correlation) == (2, 0.0, None)
    rising = batch_interval(list(range(80)))
    assert rising is not None
    assert rising.correlated
    assert batch_interval([1] * 39) is None
    with pytest.raises(ValueError, match="two"):
        mean_interval([1])
