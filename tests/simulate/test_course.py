"""Runs that stop and go on: by order, by interrupt, when full rate or a jam is reached."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from dataclasses import fields
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from loopwright.layout.layout import Layout
from loopwright.simulate import simulate_layout
from loopwright.simulate.reading.limit import jammed, limits
from loopwright.simulate.run import Run
from loopwright.simulate.samples import ARRAYS, Samples
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.truncation import mser5
from tests.layouts.build import Build
from tests.layouts.plants import one_of_each

OUTAGE = (Outage("a 1 source", Fraction(60), Fraction(20)),)


def plan(span: int, *, warm_up: int = 47, find: bool = False, width: int = 10) -> Scenario:
    return Scenario(
        "test", "empty", Fraction(span), Fraction(warm_up), Fraction(width), OUTAGE, find
    )


def same_samples(one: Samples | None, other: Samples | None) -> bool:
    assert one is not None
    assert other is not None
    names = [field.name for field in fields(Samples) if field.name not in ARRAYS]
    return all(getattr(one, name) == getattr(other, name) for name in names) and all(
        np.array_equal(getattr(one, name), getattr(other, name)) for name in ARRAYS
    )


def same(one: Run, other: Run) -> bool:
    """Whether two runs are the same in all but the time they took."""
    names = [field.name for field in fields(Run) if field.name not in ("samples", "wall")]
    equal = {name: getattr(one, name) == getattr(other, name) for name in names}
    return all(equal.values()) and same_samples(one.samples, other.samples)


@pytest.mark.parametrize("stops", [(100,), (20, 47, 123), (1, 203), (203, 203)])
@pytest.mark.parametrize("find", [False, True])
def test_a_run_in_parts_is_the_run_as_a_whole(stops: tuple[int, ...], find: bool) -> None:
    """Wherever it stops: in the warm-up, at its end, in an outage, in the middle of a bin."""
    layout = one_of_each()
    whole = simulate_layout(layout, plan(600 if find else 203, find=find))
    run: Run | None = None
    for stop in (*stops, 600 if find else 203):
        run = simulate_layout(layout, plan(stop, find=find), past=run)
    assert run is not None
    assert same(run, whole)


def test_a_run_does_not_go_backwards() -> None:
    layout = one_of_each()
    past = simulate_layout(layout, plan(100))
    with pytest.raises(ValueError, match="ticks already"):
        simulate_layout(layout, plan(50), past=past)


def test_a_warm_up_that_is_found_is_that_of_the_series() -> None:
    layout = one_of_each()
    run = simulate_layout(layout, plan(600, find=True))
    assert run.truncation is not None
    fixed = simulate_layout(layout, plan(600, warm_up=int(run.scenario.warm_up)))
    assert run.scenario.warm_up == run.truncation.dropped * 10
    assert run.warm == fixed.warm
    assert same_samples(run.samples, fixed.samples)
    totals = [sum(sum(bins[number].values()) for bins in run.bins.values()) for number in range(60)]
    assert run.truncation == mser5(totals)


@pytest.fixture
def interruptible() -> Iterator[None]:
    """Interrupts come as they do at a terminal, also where these tests run in the background."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("interruptible")
def test_an_interrupt_keeps_what_is_done() -> None:
    """Ctrl-C in the middle: the run ends at the next bin, and goes on to the very same end."""
    layout = one_of_each()
    whole = simulate_layout(layout, plan(200))

    def press(share: float) -> None:
        if 0.4 < share < 0.46:
            os.kill(os.getpid(), signal.SIGINT)

    stopped = simulate_layout(layout, plan(200), progress=press)
    assert stopped.ended == "interrupted"
    assert 80 <= stopped.ticks * stopped.tick < 200
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
    assert same(simulate_layout(layout, plan(200), past=stopped), whole)


def line(quota: int) -> Layout:
    """A station that needs A and B from a loop; with too large a quota A alone fills it."""
    build = Build("ABP")
    for material in "AB":
        build.belt(f"in {material}", 4, role="supply")
    build.source("in A", "A")
    build.source("in B", "B", rate=Fraction(1, 20))
    build.belt("loop", 8)
    build.gate(["in A", "in B"], "loop", "counted", "back", quotas={"A": quota}, loop=("loop",))
    build.belt("back", 4, role="return")
    build.merge(["loop"], "back")
    build.station("mill", 2, {"A": 1, "B": 1}, {"P": 1}, {"A": 1, "B": 1})
    build.picker("p", ("loop", 4), "mill")
    build.picker("q", ("loop", 5), "mill")
    build.belt("out", 3, role="output")
    build.picker("r", "mill", ("out", 0))
    build.drain("out")
    return build.layout()


def test_a_run_to_a_jam_ends_when_nothing_moves() -> None:
    empty = Scenario("test", "empty", Fraction(7200), Fraction(0), Fraction(10))
    jam = simulate_layout(line(99), empty, until="jam")
    assert jam.ended == "jam"
    assert jam.ticks * jam.tick < 1200
    assert jammed(jam)
    (limit,) = [limit for limit in limits(jam) if limit.kind == "jam"]
    assert "loop and back are full of A, so no B can come in" in limit.sentence
    assert simulate_layout(line(3), empty, until="jam").ended == "span"


def test_a_run_to_full_rate_ends_when_it_is_reached() -> None:
    empty = Scenario("test", "empty", Fraction(7200), Fraction(0), Fraction(20))
    run = simulate_layout(line(3), empty, until="full-rate", target=Fraction(1, 20))
    assert run.ended == "full-rate"
    assert 200 <= run.ticks * run.tick < 1200
    with pytest.raises(ValueError, match="target"):
        simulate_layout(line(3), empty, until="full-rate")


def test_samples_say_what_the_states_say() -> None:
    """The last sample against the end of the run, cell by cell and unit by unit."""
    run: Any = simulate_layout(one_of_each(), plan(200, warm_up=0))
    samples = run.samples
    assert len(samples) == 20
    index = {name: number for number, name in enumerate(samples.materials)}
    stock = np.zeros((4, len(index)), np.int64)
    for number, belt in enumerate(samples.belts):
        carriers = np.zeros(len(index), np.int64)
        for cell in run.end.belts[belt]:
            if cell is not None:
                carriers[index[cell[0]]] += 1
                stock[0, index[cell[0]]] += cell[1]
        assert samples.carriers[-1, number].tolist() == carriers.tolist()
    for picker in run.end.pickers.values():
        if picker.material is not None:
            stock[1, index[picker.material]] += picker.count
    for station in run.end.stations.values():
        for material, units in (*station.inputs.items(), *station.outlet.items()):
            stock[2, index[material]] += units
    for store in run.end.stores.values():
        for material, units in store.items():
            stock[3, index[material]] += units
    assert samples.stock[-1].tolist() == stock.tolist()
    for number, name in enumerate(samples.stations):
        count = run.end.counters.stations[name]
        assert samples.working[-1, number] == count.busy
        assert samples.waiting[-1, number] == count.blocked + sum(count.starved.values())
    assert samples.running[-1] == sum(one.due is not None for one in run.end.stations.values())
    seen = samples.carriers.sum(axis=0)
    for number, belt in enumerate(samples.belts):
        occupied = samples.occupied[samples.cells_of(belt)].sum(axis=0)
        assert occupied.tolist() == seen[number].tolist()
