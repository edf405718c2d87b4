"""Laws of the room that a row needs: surplus at its end, part-used carriers, make-up rows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction

from loopwright.layout.layout import Layout
from loopwright.prove.law.law import Law
from loopwright.prove.law.left import Leftovers, leftovers_of, part_returned
from loopwright.prove.law.surplus import LOOP, MOST, sure_surplus, surplus_needed
from loopwright.prove.law.terms import Terms
from loopwright.prove.law.window import quota_windows
from loopwright.prove.ring import Ring
from loopwright.prove.verdict import Recovery
from loopwright.simulate.reading.text import figure, percent

Runs = Mapping[tuple[str | None, str], Recovery]
"""Runs of a loop by what was missing and how they began."""


def window_laws(ring: Ring) -> Iterator[Law]:
    """Between which numbers each quota has to lie."""
    quotas = dict(ring.quotas)
    for name, window in (quota_windows(ring) or {}).items():
        told = f"the quota is {quotas[name]}"
        yield Law("least quota", name, Fraction(window.least), "carriers", told)
        told = f"{told}; of all others together at most {ring.cells} - 2"
        yield Law("most quota", name, Fraction(window.most), "carriers", told)


def surplus_laws(ring: Ring, terms: Terms) -> Iterator[Law]:
    """What more than is used comes by, and what the row's end needs where picks are late."""
    has = 1 / terms.load - 1
    told = f"1 / {figure(terms.load)} - 1: the belt brings more than is used"
    yield Law("surplus", "", has, "share", told)
    whole = bool(ring.taps) and all(tap.takes == "carriers" for tap in ring.taps)
    load = max(terms.loads.values())
    held = min(need.cap // need.amount for need in terms.needs.values())
    needed = surplus_needed(LOOP, load, "carriers" if whole else "units", held)
    sure = sure_surplus(held)
    told = (
        f"measured: three tenths of all picks missed, carriers of {load}, "
        f"{'whole' if whole else 'by the unit'}, {held} cycles held"
    )
    if needed is None:
        told = f"more than that; {told}"
    if sure is not None:
        told += f"; {percent(sure)} is sure to do"
    yield Law("surplus for the row's end", "", needed or MOST, "share", told)


def returned_law(ring: Ring, terms: Terms, runs: Runs) -> Iterator[Law]:
    """What carriers that come back hold, of a full one; only where they can be part-used."""
    if terms.single:
        return
    whole = bool(ring.taps) and all(tap.takes == "carriers" for tap in ring.taps)
    full = {name: terms.carriers(name) * load for name, load in terms.loads.items()}
    held = sum(
        (units * part_returned(terms.loads[name], whole=whole) for name, units in full.items()),
        Fraction(0),
    )
    how = "carriers are taken whole" if whole else "each turn takes as much as the one before"
    share = held / sum(full.values(), Fraction(0))
    law = Law("units on what comes back", "", share, "share", f"of full carriers: {how}")
    run = runs.get((None, "primed"))
    if run is not None and run.returned is not None:
        law = replace(law, measured=run.returned, run="from primed")
    yield law


def make_up_laws(layout: Layout, ring: Ring, runs: Runs) -> Iterator[Law]:
    """What a make-up row gets that lives on what other rows leave over."""
    drawn = {drawer.station for drawer in ring.drawers}
    for left in leftovers_of(layout):
        if drawn and drawn == set(left.row):
            yield from _left_over(left, runs)


def _left_over(left: Leftovers, runs: Runs) -> Iterator[Law]:
    part = left.fill / left.carriers
    told = f"{left.lanes} lanes leave so much of a belt over, in full carriers"
    yield Law("collector fill", left.collector, left.fill, "share", told)
    told = f"carriers that are left over hold {percent(part)} of a full one, (u + 1) / 2u"
    yield Law("collector fill, part-used", left.collector, left.carriers, "share", told)
    yield Law(
        "fill limit of side merges", left.collector, Fraction(1), "share",
        f"{left.inlets} of them; belts move cell by cell, so no gap is too small. Where carriers "
        "stand anywhere four fifths",
    )  # fmt: skip
    law = Law(
        "make-up row", "", left.share, "share",
        f"a collector passes carriers, so {percent(min(left.fill, part))} of a belt in full ones, "
        f"and the row uses {percent(left.needs)}",
    )  # fmt: skip
    run = runs.get((None, "empty"))
    if run is not None:
        law = replace(law, measured=run.share, run="from empty")
    yield law
