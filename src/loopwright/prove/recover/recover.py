"""Loops that stand -> cards, each carried out in a run; loops brought back alike are told once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil

from loopwright.layout.layout import Layout
from loopwright.prove.law.drift import in_ratio
from loopwright.prove.law.terms import Terms, terms_of
from loopwright.prove.recover.card import BY_GATE, BY_HAND, Card, Outcome, Purge, Recovered
from loopwright.prove.recover.carry_out import Order, carry_out
from loopwright.prove.recover.purge import make_card
from loopwright.prove.recover.standing import jam_together
from loopwright.prove.ring import Ring
from loopwright.prove.verdict import Verdict
from loopwright.simulate.state import State

SIXTEENTH = 16
"""Unless told, one carrier in so many of the loop is taken out."""


def recover_loops(
    layout: Layout, rings: Sequence[Ring], state: State, carriers: int | None = None
) -> tuple[Recovered, ...]:
    """How to bring all of `rings` back from `state`, in which they stand: by hand with the gates
    they have, and by gates put in for good; each way carried out in one run of all loops. Those
    that work come first, the gate as it is before another.

    By hand is left out where it cannot last: a ratio-locked gate waits for what is held, an open
    gate whose turns are not in the ratio of the recipe jams again by itself, and what one loop
    holds at docks that it shares, others lack.

    `carriers` is how many to take off each loop; unless told, a sixteenth of it.
    """
    terms = {ring.name: found for ring in rings if (found := terms_of(ring)) is not None}
    outcomes: dict[str, list[Outcome]] = {ring.name: [] for ring in rings}
    for way in (BY_HAND, BY_GATE):
        orders = [
            Order(ring, terms[ring.name], card)
            for ring in rings
            if ring.name in terms and (way == BY_GATE or _by_hand(ring, terms[ring.name]))
            if _useful(card := _card(ring, terms[ring.name], state, way, carriers))
        ]
        for order, outcome in zip(orders, carry_out(layout, orders, state), strict=True):
            outcomes[order.ring.name].append(outcome)
    return _together(rings, outcomes)


def best_cards(layout: Layout, verdicts: Iterable[Verdict]) -> tuple[Recovered, ...]:
    """Cards for the loops that jam in one of `verdicts`, all of them standing at once."""
    told = tuple(verdicts)
    rings, state = jam_together(layout, told)
    return recover_loops(layout, rings, state) if state is not None else ()


def _card(ring: Ring, terms: Terms, state: State, way: str, carriers: int | None) -> Card:
    count = ceil(ring.cells / SIXTEENTH) if carriers is None else carriers
    return make_card(ring, terms, state, way, count)


def _useful(card: Card) -> bool:
    return bool(card.hands or (card.missing and card.purge))


def _by_hand(ring: Ring, terms: Terms) -> bool:
    """Whether supplies can be held and let in at the gate as it is, with lasting success."""
    if ring.rule == "ratio-locked" or ring.shares_docks:
        return False
    return ring.rule != "open" or in_ratio(terms)


def _together(rings: Sequence[Ring], outcomes: dict[str, list[Outcome]]) -> tuple[Recovered, ...]:
    """Loops of one shape with the same steps, each with the slowest of their runs."""
    groups: dict[tuple[object, ...], list[Ring]] = {}
    for ring in rings:
        steps = tuple(_steps(ring, outcome.card) for outcome in outcomes[ring.name])
        groups.setdefault((ring.shape(), steps), []).append(ring)
    return tuple(
        Recovered(
            tuple(ring.name for ring in group),
            tuple(
                sorted(
                    map(_slowest, zip(*(outcomes[ring.name] for ring in group), strict=True)),
                    key=lambda outcome: not outcome.works,
                )
            ),
        )
        for group in groups.values()
    )


def _steps(ring: Ring, card: Card) -> Card:
    """The card with places in place of names, so that cards of other loops may be equal."""
    names = {belt: f"belt {number}" for number, belt in enumerate(ring.belts)}
    names |= {feed.belt: f"feed {number}" for number, feed in enumerate(ring.feeds)}
    taps = {tap.picker: f"tap {number}" for number, tap in enumerate(ring.taps)}
    return replace(
        card,
        loop="",
        gate="",
        purge=tuple(Purge(names[one.belt], one.index, one.material) for one in card.purge),
        clear=tuple(Purge(names[one.belt], one.index, one.material) for one in card.clear),
        hands=tuple(taps[name] for name in card.hands),
    )


def _slowest(alike: Sequence[Outcome]) -> Outcome:
    """What loops that did the same came to, at the worst."""
    first = alike[0]
    times = [one.time for one in alike if one.time is not None]
    whole = len(times) == len(alike)
    stages = zip(*(one.stages for one in alike), strict=False)
    return replace(
        first,
        stages=tuple(max(spans, default=Fraction(0)) for spans in stages),
        time=max(times) if whole else None,
        share=min(one.share for one in alike),
        standard=min(one.standard for one in alike),
    )
