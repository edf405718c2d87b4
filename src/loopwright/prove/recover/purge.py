"""The card of a loop that stands: which carriers, which supplies, in which order."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise
from math import ceil

from loopwright.block.sequence import whole_shares
from loopwright.layout.quota import shared_quotas
from loopwright.prove.law.mix import units_in
from loopwright.prove.law.terms import Terms
from loopwright.prove.recover.card import BY_GATE, BY_HAND, Admission, Card, Purge
from loopwright.prove.recover.edit import taken_out
from loopwright.prove.ring import Ring
from loopwright.simulate.state import State

SETTLE = 2
"""Turns that the law adds for the mix to spread."""


def make_card(ring: Ring, terms: Terms, state: State, way: str, carriers: int) -> Card:
    """The card that takes `carriers` off the loop and goes on by `way`."""
    missing = missing_of(ring, terms, state)
    hold = tuple(name for name in terms.needs if name not in missing)
    purge = _purge(ring, terms, state, hold, carriers)
    hands = _hands(ring, state)
    units = units_in(ring, taken_out(state, purge, hands))
    by_hand = way == BY_HAND
    return Card(
        loop=ring.name,
        gate=ring.gate or "",
        way=way,
        missing=missing,
        hold=hold if by_hand else (),
        purge=purge,
        clear=_waiting(ring, state, hold) if by_hand else (),
        hands=hands,
        admissions=_admissions(terms, units) if by_hand else (),
        quotas=tuple(quotas_for(ring, terms).items()) if way == BY_GATE else (),
        predicted=predicted_time(terms, missing, len(purge)),
        slowest=predicted_time(terms, missing, 1),
    )


def missing_of(ring: Ring, terms: Terms, state: State) -> tuple[str, ...]:
    """What some station lacks and the loop has none of."""
    on_loop = {cell[0] for belt in ring.belts for cell in state.belts[belt] if cell is not None}
    lacked = {
        need.material
        for drawer in ring.drawers
        for need in drawer.needs
        if state.stations[drawer.station].inputs[need.material] < need.amount
    }
    return tuple(name for name in terms.needs if name in lacked - on_loop)


def quotas_for(ring: Ring, terms: Terms) -> dict[str, int]:
    """Quotas of a scarcest-first gate under which the loop cannot jam."""
    return shared_quotas(shares_for(terms), ring.cells)


def shares_for(terms: Terms) -> dict[str, int]:
    """Carriers of each input in the smallest whole ratio of the recipe."""
    counts = [terms.carriers(name) for name in terms.needs]
    return dict(zip(terms.needs, whole_shares(counts), strict=True))


def predicted_time(terms: Terms, missing: tuple[str, ...], carriers: int) -> Fraction:
    """The law's time to full rate [s]: in each turn a gap takes what is missing, a cycle then also
    takes the rest, and gaps multiply until there are as many as at full rate."""
    whole = terms.load
    short = sum((terms.carriers(name) for name in missing), Fraction(0)) or whole
    gaps, turns = Fraction(max(1, carriers)), 0
    while gaps < whole * terms.places and whole > short:
        gaps, turns = gaps * whole / short, turns + 1
    return (turns + SETTLE) * terms.places / terms.speed


def _purge(
    ring: Ring, terms: Terms, state: State, hold: tuple[str, ...], carriers: int
) -> tuple[Purge, ...]:
    """The next to come to the gate, each of what there is most of, over what a cycle takes."""
    coming: dict[str, list[Purge]] = {name: [] for name in hold}
    for belt in ring.belts:
        for index, cell in enumerate(state.belts[belt]):
            if cell is not None and cell[0] in coming:
                coming[cell[0]].append(Purge(belt, index, cell[0]))
    found: list[Purge] = []
    while len(found) < carriers and any(coming.values()):
        most = max(hold, key=lambda name: len(coming[name]) / terms.carriers(name))
        found.append(coming[most].pop())
    return tuple(found)


def _waiting(ring: Ring, state: State, hold: tuple[str, ...]) -> tuple[Purge, ...]:
    """What stands on the supply belts of the held materials."""
    return tuple(
        Purge(feed.belt, index, cell[0])
        for feed in ring.feeds
        if feed.material in hold
        for index, cell in enumerate(state.belts[feed.belt])
        if cell is not None
    )


def _hands(ring: Ring, state: State) -> tuple[str, ...]:
    """Pickers that hold what their station has no room for."""
    return tuple(tap.picker for tap in ring.taps if state.pickers[tap.picker].phase == "holding")


def _admissions(terms: Terms, units: Mapping[str, int]) -> tuple[Admission, ...]:
    """From the scarcest up: each stage lifts all that are in to the level of the next.

    Levels are cycles' worth in the whole system, which cycles do not change.
    """
    worth = {name: Fraction(units[name], need.amount) for name, need in terms.needs.items()}
    stages = []
    levels = sorted(set(worth.values()))
    for level, above in pairwise(levels):
        carriers = tuple(
            (name, ceil((above - max(level, worth[name])) * need.amount / terms.loads[name]))
            for name, need in terms.needs.items()
            if worth[name] <= level
        )
        if any(count for _, count in carriers):
            stages.append(Admission(carriers))
    return tuple(stages)
