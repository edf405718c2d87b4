"""A case as one run, to be looked at from its calm beginning to long after."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import ceil

from loopwright.compare.stress.case import MIX, OUTAGE, SHORTAGE, Case
from loopwright.compare.stress.disturb import mishaps, one_material, with_shortage
from loopwright.layout.layout import Layout, Source
from loopwright.simulate.disturbance import Disturbances, Supply
from loopwright.simulate.prime import primed_state
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.state import State

CALM_SPAN = Fraction(60)
"""How long the run is undisturbed before an outage or a shortage begins [s]."""

AFTER = Fraction(1800)
"""How long it goes on after that [s]."""


def watched_case(layout: Layout, case: Case, name: str) -> tuple[Layout, Scenario, State | None]:
    """The layout, the scenario, called `name`, and the state to begin with, None for a primed one.

    Outages and shortages begin after `CALM_SPAN`. Missed picks, uneven cycles, wrong mixes and
    hands on the belts are there from the beginning; the former two go on to the end.
    """
    end = CALM_SPAN + case.span + AFTER
    calm = Scenario(name, "primed", end, Fraction(0), Fraction(ceil(end / 100)))
    if case.kind == OUTAGE:
        outages = tuple(
            Outage(source.name, CALM_SPAN, case.span)
            for source in layout.sources
            if source.material == case.material
        )
        return layout, replace(calm, outages=outages), None
    if case.kind == SHORTAGE:
        whole = _rated(layout, case.material)
        supplies = tuple(_supplies(whole, case))
        return whole, replace(calm, disturbances=Disturbances(supplies=supplies)), None
    state = primed_state(layout)
    if case.kind == MIX:
        return layout, calm, one_material(layout, state, case.material)
    return layout, replace(calm, disturbances=mishaps(layout, state, case)), None


def _rated(layout: Layout, material: str) -> Layout:
    """`layout` with docks of `material` that say how much they bring: what their belt takes."""
    speeds = {belt.name: belt.speed for belt in layout.belts}
    sources = tuple(
        replace(source, rate=speeds[source.belt])
        if source.material == material and source.rate is None
        else source
        for source in layout.sources
    )
    return replace(layout, sources=sources)


def _supplies(layout: Layout, case: Case) -> list[Supply]:
    """Less of the material while the case lasts, then as much as before."""
    short = {one.name: one for one in with_shortage(layout, case.material, case.share).sources}

    def change(source: Source) -> tuple[Fraction, Fraction] | None:
        before, after = source.rate, short[source.name].rate
        return None if before is None or after is None or before == after else (before, after)

    found = []
    for source in layout.sources:
        rates = change(source)
        if rates is not None:
            found.append(Supply(source.name, CALM_SPAN, rates[1]))
            found.append(Supply(source.name, CALM_SPAN + case.span, rates[0]))
    return found
