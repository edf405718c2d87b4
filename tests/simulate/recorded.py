"""Runs made with the plain program, for tests of what is read off a run."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import Any

from loopwright.layout.document import layout_document
from loopwright.layout.layout import Layout
from loopwright.simulate.document import state_from_document
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Outage, Scenario
from reference.simulate import Plant

Document = dict[str, Any]


def scenario(
    span: int, warm_up: int = 0, width: int = 10, outages: tuple[Outage, ...] = ()
) -> Scenario:
    """A run of `span` [s] from the empty start."""
    return Scenario("test", "empty", Fraction(span), Fraction(warm_up), Fraction(width), outages)


def recorded(layout: Layout, plan: Scenario) -> tuple[Run, list[Document]]:
    """The run of `layout` under `plan`, and its states: start, end of the warm-up, end."""
    told = [
        {"source": outage.source, "start": str(outage.start), "span": str(outage.span)}
        for outage in plan.outages
    ]
    plant = Plant(layout_document(layout), told)
    ticks, warm = ceil(plan.span / plant.tick), ceil(plan.warm_up / plant.tick)
    bins = range(ceil(plan.span / plan.bin) + 1)
    ends = [min(ceil(plan.bin * number / plant.tick), ticks) for number in bins]
    start = plant.state()
    states = {0: start}
    done = 0
    for stop in sorted({*ends, warm}):
        plant.run(stop - done)
        done = stop
        states[stop] = plant.state()
    plant.audit()
    taken = {
        name: [states[end]["counters"]["drains"][name]["units"] for end in ends]
        for name in start["counters"]["drains"]
    }
    run = Run(
        layout=layout,
        scenario=plan,
        tick=plant.tick,
        ticks=ticks,
        breaks=tuple(plant.breaks),
        start=state_from_document(start),
        warm=state_from_document(states[warm]).counters,
        end=state_from_document(states[ticks]),
        bins={
            name: tuple(
                {material: units - one.get(material, 0) for material, units in other.items()}
                for one, other in pairwise(counts)
            )
            for name, counts in taken.items()
        },
        wall=0.0,
    )
    return run, [start, states[warm], states[ticks]]
