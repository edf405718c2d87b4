"""All that the laws say of one loop, in the order of the questions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from loopwright.layout.layout import Layout
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_recovery
from loopwright.prove.law.drift import drift, in_ratio
from loopwright.prove.law.law import Law
from loopwright.prove.law.mix import share_of_mix, units_in
from loopwright.prove.law.outage import (
    jam_span,
    jam_span_part_used,
    safe_span,
    share_after,
)
from loopwright.prove.law.room import make_up_laws, returned_law, surplus_laws, window_laws
from loopwright.prove.law.siding import siding_laws
from loopwright.prove.law.terms import Terms, terms_of
from loopwright.prove.part import part_of
from loopwright.prove.reason import load_of, offer, use
from loopwright.prove.ring import Ring
from loopwright.prove.verdict import Jam, Recovery, Verdict
from loopwright.simulate.prime import primed_state
from loopwright.simulate.reading.text import figure


def laws_of(layout: Layout, ring: Ring, verdicts: Iterable[Verdict] = ()) -> tuple[Law, ...]:
    """What the laws say of `ring`; runs in `verdicts` on this loop are put beside them.

    Empty where the laws do not speak of such a loop.
    """
    if ring.sorting is not None:
        return tuple(siding_laws(ring))
    terms = terms_of(ring)
    mine = [verdict for verdict in verdicts if verdict.loop == ring.name]
    runs = {(run.missing, run.scenario.start): run for verdict in mine for run in verdict.runs}
    if terms is None:
        return tuple(make_up_laws(layout, ring, runs))
    jam = next((verdict.jam for verdict in mine if verdict.jam is not None), None)
    supplies = {feed.material or "": feed.belt for feed in ring.feeds}
    cells = {belt.name: len(belt.path) for belt in layout.belts}
    supply = {name: cells[belt] for name, belt in supplies.items()}
    return (
        _load(terms),
        *surplus_laws(ring, terms),
        *returned_law(ring, terms, runs),
        *_stock(layout, ring, terms),
        *_offers(ring, terms),
        *window_laws(ring),
        *_drift(ring, terms),
        *_caps(ring, terms, runs.get((None, "empty"))),
        *_outages(ring, terms, supply, runs, jam),
    )


def _load(terms: Terms) -> Law:
    parts = " + ".join(figure(terms.carriers(name)) for name in terms.needs)
    told = f"full carriers of {', '.join(terms.needs)} a step: {parts}"
    return Law("load", "", terms.load, "share", told)


def _stock(layout: Layout, ring: Ring, terms: Terms) -> Iterator[Law]:
    """How long the row works on what a primed loop holds."""
    state = primed_state(part_of(layout, ring.belts))
    units = units_in(ring, state)
    for feed in ring.feeds:
        for cell in state.belts[feed.belt]:
            if cell is not None:
                units[cell[0]] += cell[1]
    for name in terms.needs:
        rate = terms.use(name) * terms.speed
        told = f"{units[name]} units in a primed loop / {figure(rate)} units/s"
        yield Law("stock lasts", name, units[name] / rate, "s", told)


def _offers(ring: Ring, terms: Terms) -> Iterator[Law]:
    """What windowed quotas let in, over what is used."""
    if ring.rule != "windowed" or any(quota is None for _, quota in ring.quotas):
        return
    for name in terms.needs:
        sure = offer(ring, name) * load_of(ring, name)
        told = f"{sure} units are sure in a turn / {figure(use(ring, name))} used"
        yield Law("offer over use", name, sure / use(ring, name), "ratio", told)


def _drift(ring: Ring, terms: Terms) -> Iterator[Law]:
    """An open gate whose turns are not in the ratio of the recipe."""
    if ring.rule != "open" or in_ratio(terms):
        return
    for name, excess in drift(terms).items():
        if excess:
            told = f"{figure(excess)} carriers a step enter beyond what is used"
            yield Law("drift", name, excess * terms.speed, "carriers/s", told)


def _caps(ring: Ring, terms: Terms, run: Recovery | None) -> Iterator[Law]:
    """What a loop with a fixed mix makes for ever, started empty."""
    fixed = ring.rule == "ratio-locked" or (ring.rule == "open" and in_ratio(terms))
    if not fixed or not terms.single:
        return
    cycles = ", ".join(
        f"{name} {figure(Fraction(need.cap, need.amount))}" for name, need in terms.needs.items()
    )
    law = Law("rate with these caps", "", share_of_mix(terms), "share", f"caps in cycles: {cycles}")
    if run is not None:
        law = replace(law, measured=run.share, run="from empty")
    yield law


def _outages(
    ring: Ring,
    terms: Terms,
    supply: dict[str, int],
    runs: dict[tuple[str | None, str], Recovery],
    jam: Jam | None,
) -> Iterator[Law]:
    if ring.rule != "open":
        yield from _kept(ring, terms, runs)
        return
    if not in_ratio(terms) or ring.shares_docks or not all(feed.prompt for feed in ring.feeds):
        return
    if not terms.single:
        yield from _part_used(ring, terms, supply, jam)
        return
    for name in terms.needs:
        cells = supply[name]
        free = figure((1 - terms.load) * terms.places)
        told = f"(1 - {figure(terms.load)}) x {terms.places} = {free} places are free for others"
        yield Law("safe outage", name, safe_span(terms, name, cells), "s", told)
        told = "stock used up at full rate, and a turn"
        law = Law("time to jam", name, jam_span(terms, name, cells), "s", told)
        yield _beside(law, jam)
        run = runs.get((name, "primed"))
        if run is not None:
            share = share_after(terms, name, cells, run.span)
            told = f"after an outage of {figure(run.span)} s"
            yield Law("rate after", name, share, "share", told, run.share, "the same outage")


def _part_used(ring: Ring, terms: Terms, supply: dict[str, int], jam: Jam | None) -> Iterator[Law]:
    """Of part-used carriers only the time to jam is told: the other laws are too far off."""
    loads = set(terms.loads.values())
    if len(loads) > 1 or any(tap.takes == "carriers" for tap in ring.taps):
        return
    load = loads.pop()
    for name in terms.needs:
        span = jam_span_part_used(terms, name, supply[name], load)
        told = f"carriers of {load} hold (u + 1) / 2 going round; all places and buffers full"
        yield _beside(Law("time to jam", name, span, "s", told), jam)


def _beside(law: Law, jam: Jam | None) -> Law:
    """The law with the jam that was found of the same material."""
    if jam is None or jam.missing != law.subject:
        return law
    return replace(law, measured=jam.span, run="the shortest outage found that jams")


def _kept(ring: Ring, terms: Terms, runs: dict[tuple[str | None, str], Recovery]) -> Iterator[Law]:
    """Gates that look at the mix, or keep it: what is known of outages, and what was measured."""
    if ring.rule == "ratio-locked":
        known = "the gate waits, so the mix, and with it the rate, stays as it was"
    elif isinstance(find_recovery(ring), Claim):
        known = "every turn brings what the quotas say, whatever was before (theorem flow)"
    else:
        known = ""
    for name in terms.needs:
        if known:
            yield Law("safe outage", name, None, "s", known)
        run = runs.get((name, "primed"))
        if run is not None:
            told = f"no law; measured after an outage of {figure(run.span)} s"
            yield Law("rate after", name, None, "share", told, run.share, "the same outage")
