"""The check block at work: 640 stations, common practice, no source.

Ideal pickers, primed. Each way to feed it brings the planned rate to within 1 %, or the readings
name the device that holds it down, with the number.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.simulate import simulate_layout
from loopwright.simulate.reading import limits, read_run
from loopwright.simulate.scenario import Scenario
from tests.layout.design import example, placed

PLANNED = Fraction(150)
STEADY = Scenario("steady", "primed", Fraction(360), Fraction(120), Fraction(5))


@pytest.mark.parametrize("architecture", ["loop", "plain"])
def test_loop_and_plain_bring_the_planned_rate(architecture):
    run = simulate_layout(placed(example("check-block.yaml", architecture=architecture)), STEADY)
    assert read_run(run).rate >= PLANNED * Fraction(99, 100)


def test_one_pass_is_held_down_by_its_collector_and_says_so():
    """Single-unit picks leave carriers part-used, so what a lane leaves over fills more cells than
    its units would: the collector takes no more, and the lanes back up behind it."""
    run = simulate_layout(placed(example("check-block.yaml", architecture="pass")), STEADY)
    rate = read_run(run).rate
    assert rate < PLANNED * Fraction(99, 100)
    told = limits(run, PLANNED)
    reasons = " ".join(reason for limit in told for reason in limit.because)
    assert "found no empty cell on row 10 collector" in reasons
    assert sum(limit.loss for limit in told) >= PLANNED - rate


@pytest.mark.parametrize(
    ("batches", "least"), [(2, Fraction(98, 100) * PLANNED), (3, Fraction(99, 100) * PLANNED)]
)
def test_one_pass_by_whole_carriers_comes_near_the_plan(batches, least):
    """With hands for a whole carrier no part-used one is left over. Caps of two batches are a
    little short for carriers of four units: at six, one with three in it has no room for the
    next."""
    layout = placed(example("check-block.yaml", architecture="pass"))
    stations = {station.name for station in layout.stations}
    needs = {recipe.name: dict(recipe.inputs) for recipe in layout.recipes}
    wide = replace(
        layout,
        pickers=tuple(
            replace(picker, hand=4, takes="carriers")
            if picker.target.device in stations
            else picker
            for picker in layout.pickers
        ),
        stations=tuple(
            replace(
                station,
                caps=tuple((name, batches * n) for name, n in needs[station.recipe].items()),
            )
            for station in layout.stations
        ),
    )
    assert read_run(simulate_layout(wide, STEADY)).rate >= least


def test_the_example_in_one_pass_brings_the_planned_rate():
    run = simulate_layout(placed(example("check-block-pass.yaml")), STEADY)
    assert len(run.layout.stations) == 640
    assert read_run(run).rate >= PLANNED * Fraction(99, 100)
