"""Little, A proof for the queuing formula L = lambda W, Operations Research 9 (1961) 383-387.

Over a window that begins and ends empty the law is an identity: held to exactly. What is inside is
counted on the frames of a trace, arrivals and departures on the counters of source and drain.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from loopwright.record import Origin
from loopwright.simulate import simulate_layout
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.trace import Trace, TraceWriter
from tests.layouts.build import Build

SPAN = 90


def test_inside_is_rate_times_stay(tmp_path: Path) -> None:
    build = Build()
    build.belt("fast", 5)
    build.belt("slow", 4, Fraction(1, 3))
    build.source("fast", rate=Fraction(1, 2))
    build.merge(["fast"], "slow")
    build.drain("slow")
    layout = build.layout()
    outages = (Outage("fast source", Fraction(31), Fraction(SPAN)),)

    came, went = [], []
    run: Run | None = None
    for tick in range(1, SPAN + 1):
        plan = Scenario("queue", "empty", Fraction(tick), Fraction(0), Fraction(1), outages)
        run = simulate_layout(layout, plan, past=run)
        counters = run.end.counters
        came += [tick] * (counters.sources["fast source"].carriers - len(came))
        went += [tick] * (counters.drains["slow drain"].carriers.get("A", 0) - len(went))
    assert run is not None
    assert run.tick == 1
    assert len(came) == len(went) > 10

    whole = Scenario("queue", "empty", Fraction(SPAN), Fraction(0), Fraction(1), outages)
    writer = TraceWriter(tmp_path / "queue.trace", Origin("queue"), Fraction(1))
    assert simulate_layout(layout, whole, trace=writer).end == run.end
    with Trace.open(tmp_path / "queue.trace") as trace:
        inside = [
            sum(cell is not None for cells in frame.belts.values() for cell in cells)
            for frame in trace
        ]
    assert inside[0] == inside[-1] == 0
    mean_inside = Fraction(sum(inside), SPAN)
    rate = Fraction(len(came), SPAN)
    stay = Fraction(sum(b - a for a, b in zip(came, went, strict=True)), len(came))
    assert mean_inside == rate * stay
