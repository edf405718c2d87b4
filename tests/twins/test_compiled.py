"""What the compiled engine does besides following the rules of a tick."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.layout.layout import Layout
from loopwright.simulate import simulate_layout
from loopwright.simulate.limit import EngineLimitError, LayoutError
from loopwright.simulate.scenario import Scenario
from tests.layouts.build import Build
from tests.layouts.plants import one_of_each

MINUTE = Scenario("a minute", "empty", Fraction(60), Fraction(10), Fraction(25))


def line(load: int = 1, hand: int = 1) -> Build:
    """A source, a belt of 4 cells, a drain, and a picker that moves units ahead on the belt."""
    build = Build("A")
    build.belt("belt", 4)
    build.source("belt", load=load)
    build.drain("belt")
    build.picker("hand", ("belt", 1), ("belt", 3), hand=hand)
    return build


def test_bins_count_what_each_drain_took_and_the_last_is_cut_short() -> None:
    build = Build("A")
    build.belt("belt", 4)
    build.source("belt", load=3)
    build.drain("belt")
    run = simulate_layout(build.layout(), MINUTE)
    # the first carrier is put at tick 1 and taken from the head at tick 5
    assert run.bins == {"belt drain": ({"A": 63}, {"A": 75}, {"A": 30})}
    assert (run.tick, run.ticks, run.end.tick) == (1, 60, 60)
    assert run.warm.drains["belt drain"].carriers == {"A": 6}


def test_going_on_counts_bins_from_the_state_it_goes_on_from() -> None:
    first = simulate_layout(one_of_each(), MINUTE)
    second = simulate_layout(one_of_each(), MINUTE, start=first.end)
    both = simulate_layout(one_of_each(), replace(MINUTE, span=Fraction(120)))
    assert second.end == both.end
    for name, bins in second.bins.items():
        before, after = (run.end.counters.drains[name].units for run in (first, second))
        taken = {name: sum(part.get(name, 0) for part in bins) for name in after}
        assert taken == {name: after[name] - before.get(name, 0) for name in after}


def test_progress_is_told_after_every_bin() -> None:
    shares: list[float] = []
    simulate_layout(one_of_each(), MINUTE, progress=shares.append)
    assert shares == [25 / 60, 50 / 60, 1.0]


def test_an_interrupt_keeps_what_is_done() -> None:
    def interrupt(share: float) -> None:
        raise KeyboardInterrupt

    run = simulate_layout(one_of_each(), MINUTE, progress=interrupt)
    begun = simulate_layout(one_of_each(), replace(MINUTE, span=Fraction(25)))
    assert run.end == begun.end
    assert run.ticks == begun.ticks


def test_a_run_of_no_ticks_ends_where_it_starts() -> None:
    run = simulate_layout(one_of_each(), replace(MINUTE, span=Fraction(0)))
    assert run.ticks == 0
    assert run.end == run.start


def test_an_empty_layout_runs() -> None:
    run = simulate_layout(Build("A").layout(), MINUTE)
    assert run.end.tick == 60
    assert run.bins == {}


@pytest.mark.parametrize(
    ("build", "words"),
    [
        (line(load=16), "belt source: a load of 16, from 1 to 15 fit"),
        (line(hand=16), "hand: a hand of 16, from 1 to 15 fit"),
    ],
)
def test_what_is_too_large_for_the_engine_is_said_by_name(build: Build, words: str) -> None:
    with pytest.raises(EngineLimitError, match=words):
        simulate_layout(build.layout(), MINUTE)


def without(kind: str) -> Layout:
    """`one_of_each` with all devices of one kind taken away."""
    return replace(one_of_each(), **{kind: ()})


def twice_drained() -> Layout:
    """Two drains at the head of one belt."""
    build = line()
    build.drain("belt", name="other")
    return build.layout()


@pytest.mark.parametrize(
    ("layout", "words"),
    [
        (without("recipes"), "st 1: no recipe st 1 recipe"),
        (without("stations"), "no belt, station or store st 1"),
        (without("materials"), "no material"),
        (twice_drained(), "belt drain and other share the head of belt"),
    ],
)
def test_devices_that_do_not_fit_each_other_are_refused(layout: Layout, words: str) -> None:
    with pytest.raises(LayoutError, match=words):
        simulate_layout(layout, MINUTE)


def test_a_bin_or_a_start_that_makes_no_sense_is_refused() -> None:
    with pytest.raises(ValueError, match="a bin of 0 s"):
        simulate_layout(one_of_each(), replace(MINUTE, bin=Fraction(0)))
    with pytest.raises(ValueError, match="no start state full"):
        simulate_layout(one_of_each(), replace(MINUTE, start="full"))


def test_the_room_is_entered_without_loading_the_compiler() -> None:
    look = "import loopwright.simulate, sys; print('numba' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"
