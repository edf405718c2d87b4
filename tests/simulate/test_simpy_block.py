"""The SimPy models that the engine is timed against do the same work.

They share no line with the engine or its reference, so they are one more witness of the rules.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from benchmarks.mixed_block import CASES, ROW, Case, block, disturbed
from benchmarks.simpy_block import CarrierBlock, SteppedBlock
from benchmarks.trial import Plant
from loopwright.simulate.decode import decode_counters
from loopwright.simulate.start import empty_state


def started_and_counted(case: Case, span: Fraction):
    """The start state of a row, and its picks and ended cycles in `span` [s]."""
    layout = block(case, ROW)
    start = disturbed(empty_state(layout), layout, 3)
    plant = Plant(layout, start)
    plant.run(span)
    counters = decode_counters(plant.plant)
    ended = sum(count.ended for count in counters.stations.values())
    return start, sum(counters.picks.values()), ended


@pytest.mark.parametrize(("name", "span"), [("bal", 300), ("213", 300), ("check", 75)])
def test_the_model_that_steps_belts_picks_and_packs_as_often(name, span):
    start, picks, ended = started_and_counted(CASES[name], Fraction(span))
    model = SteppedBlock(CASES[name], 1, start)
    model.run(Fraction(span))
    assert (model.picks, model.ended) == (picks, ended)


@pytest.mark.slow
def test_the_model_of_carriers_picks_and_packs_nearly_as_often():
    """Within 1 %: what is picked empty keeps its cell to the end of the step, and a merge of
    resources passes whoever asked first."""
    case = replace(CASES["bal"], returns=False)
    start, picks, ended = started_and_counted(case, Fraction(200))
    model = CarrierBlock(case, 1, start)
    model.run(Fraction(200))
    assert model.picks == pytest.approx(picks, rel=0.01)
    assert model.ended == pytest.approx(ended, rel=0.01)
    assert ended > 300
