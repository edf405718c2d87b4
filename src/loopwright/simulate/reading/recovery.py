"""Whether a run came back after its supplies had stopped for a while."""

from __future__ import annotations

from fractions import Fraction

from loopwright.simulate.run import Run


def final_rate(run: Run) -> Fraction | None:
    """Product rate in the last quarter of the bins [units/s].

    None where an outage reaches into it, or where the run is too short to have one.
    """
    width = run.scenario.bin
    products = [drain.name for drain in run.layout.drains if drain.purpose == "product"]
    count = len(next(iter(run.bins.values()), ()))
    first = count - count // 4
    start, end = first * width, run.ticks * run.tick
    ends = [outage.start + outage.span for outage in run.scenario.outages]
    if first == count or start >= end or any(stop > start for stop in ends):
        return None
    units = sum(sum(taken.values()) for name in products for taken in run.bins[name][first:])
    return Fraction(units) / (end - start)
