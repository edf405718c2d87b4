"""Whether a run brings what is asked of it."""

from __future__ import annotations

from fractions import Fraction

from loopwright.simulate.reading.count import read_run
from loopwright.simulate.reading.limit import jammed
from loopwright.simulate.reading.recovery import final_rate
from loopwright.simulate.run import Run

TOLERANCE = Fraction(1, 100)
"""Share of the demand by which a measured rate may fall short and still meet it."""


def target_met(run: Run, target: Fraction) -> bool:
    """Whether `run` brings `target` [units/s] within `TOLERANCE`.

    A run with outages is held to it in its last quarter only, where no outage reaches into that.
    """
    if run.ended == "full-rate":
        return True
    if run.ended == "jam" or jammed(run):
        return False
    rate = final_rate(run) if run.scenario.outages else read_run(run).rate
    return rate is None or rate >= target * (1 - TOLERANCE)
