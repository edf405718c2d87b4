"""Ticks: the longest time of which all times are multiples; LW502 where it is too short."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.finding import DesignError
from loopwright.layout.layout import Layout
from loopwright.simulate import simulate_layout
from loopwright.simulate.clock import FINEST, check_tick, layout_tick
from loopwright.simulate.scenario import Scenario
from tests.layouts.build import Build

SECOND = Scenario("second", "empty", Fraction(1), Fraction(0), Fraction(1))


def plant(
    speed: str, swing: str = "1/2", cycle: str = "2", grade: str | None = None, more: str = "2"
) -> Layout:
    """Two belts, a picker and a station."""
    build = Build("AP")
    build.belt("lane", 2, speed)
    build.belt("other", 2, more)
    grades = [] if grade is None else [("1", grade)]
    build.station("m", cycle, {"A": 1}, {"P": 1}, grades=grades)
    build.picker("p", ("lane", 1), "m", swing)
    return build.layout()


def message(layout: Layout) -> str:
    with pytest.raises(DesignError) as caught:
        simulate_layout(layout, SECOND)
    (finding,) = caught.value.findings
    assert finding.code == "LW502"
    assert finding.allowed == "1/5000 s or longer"
    return finding.message


def test_the_finest_tick_is_allowed() -> None:
    layout = plant("5000")
    assert layout_tick(layout) == FINEST
    check_tick(layout)
    assert simulate_layout(layout, SECOND).ticks == 5000


def test_a_finer_one_is_refused_and_the_rate_to_blame_is_named() -> None:
    """Without the belt of 5001 cells/s the tick would be half a second."""
    told = message(plant("5001"))
    assert told.endswith("longer than 1/10002 s: belt speed 5001 cells/s")


def test_several_that_only_together_are_too_fine_are_all_named() -> None:
    told = message(plant("101", "1/103"))
    assert "1/10403 s" in told or "1/20806 s" in told
    assert "belt speed 101 cells/s" in told
    assert "swing 1/103 s" in told
    assert "cycle" not in told


def test_the_cycle_of_a_grade_counts() -> None:
    """2 s at 5003 times the speed; half a second is no multiple of that."""
    assert layout_tick(plant("2", grade="4")) == Fraction(1, 2)
    assert "cycle 2/5003 s" in message(plant("2", grade="5003"))


def test_who_is_to_blame_twice_is_named_once() -> None:
    told = message(plant("5001", more="5001"))
    assert told.count("5001 cells/s") == 1
