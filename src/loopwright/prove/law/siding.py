"""The laws of sidings: how long they have to be, and how full they get.

`row` and `cells` are the cells of the row and of the siding, shares are those of the places.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from loopwright.prove.law.law import Law
from loopwright.prove.reason import load_of
from loopwright.prove.ring import Ring
from loopwright.prove.sidings import least_cells
from loopwright.simulate.reading.text import figure


def under_way(cells: int, share: Fraction, load: Fraction) -> Fraction:
    """Carriers on a siding behind a gate that waits: what the row leaves over is drawn off as it
    comes, so it is on its way. While stations stand the load is 0."""
    return share * (1 - load) * cells


def passing_peak(row: int, cells: int, share: Fraction, alone: Fraction) -> Fraction:
    """Carriers on a siding behind a gate that passes by what is not there, after a long outage of
    another input: then `alone` of all places, on row and siding, hold this one, and it goes on
    coming for the length of the row while only `share` of the places take it."""
    return alone * cells + (alone - share) * row


def passing_least(row: int, share: Fraction, alone: Fraction) -> Fraction | None:
    """The least cells of such a siding, with which it is just full then; None: no length will do.

    With the cells to the first station for `row` it is what starts again at all.
    """
    return None if alone == 1 else row * (alone - share) / (1 - alone)


def shares_of(ring: Ring) -> Mapping[str, Fraction]:
    """The share of the pattern's places that each material has."""
    pattern = ring.pattern_of()
    return {name: Fraction(pattern.count(name), len(pattern)) for name in ring.needed}


def load_on(ring: Ring) -> Fraction:
    """The part of the row's places that its stations use up, with full carriers."""
    assert ring.speed is not None
    return sum(
        (
            need.amount / (drawer.cycle * ring.speed * load_of(ring, need.material))
            for drawer in ring.drawers
            for need in drawer.needs
        ),
        Fraction(0),
    )


def siding_laws(ring: Ring) -> Iterator[Law]:
    """What the laws say of a sorted loop with a ratio-locked gate, all inputs by it."""
    assert ring.sorting is not None
    pure = all(feed.material is not None for feed in ring.feeds)
    if ring.rule != "sorted" or ring.speed is None or not pure or ring.elsewhere:
        return
    load, shares = load_on(ring), shares_of(ring)
    parts = ", ".join(f"{name} {figure(share)}" for name, share in shares.items())
    yield Law("load", "", load, "share", f"full carriers that are used a step; places: {parts}")
    brings = {feed.belt: feed.material or "" for feed in ring.feeds}
    for siding in ring.sorting.sidings:
        name, least = brings[siding.supply], least_cells(ring, siding)
        if least is None or name not in shares:
            continue
        share, row = shares[name], siding.row
        told = (
            f"{figure(share)} / (1 - {figure(share)}) x {row} cells = "
            f"{figure(share / (1 - share) * row)}, and as whole carriers come; it has "
            f"{siding.cells}, any more will do"
        )
        yield Law("least siding", name, Fraction(least), "cells", told)
        for told_of, used in (("at work", load), ("when stations stand", Fraction(0))):
            held = under_way(siding.cells, share, used)
            told = f"{figure(share)} x {figure(1 - used)} x {siding.cells} cells on their way"
            yield Law(f"on siding {told_of}", name, held, "carriers", told)
