"""A loop that stands -> cards, each with the run that proves it."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from loopwright.layout.layout import Layout
from loopwright.prove.law.drift import in_ratio
from loopwright.prove.law.terms import Terms, terms_of
from loopwright.prove.recover.card import BY_GATE, BY_HAND, Outcome
from loopwright.prove.recover.carry_out import carry_out
from loopwright.prove.recover.purge import make_card
from loopwright.prove.ring import Ring
from loopwright.prove.verdict import Jam, Verdict
from loopwright.simulate import simulate_layout
from loopwright.simulate.state import State

SIXTEENTH = 16
"""Unless told, one carrier in so many of the loop is taken out."""


def recover_loop(
    layout: Layout, ring: Ring, state: State, carriers: int | None = None
) -> tuple[Outcome, ...]:
    """How to bring `ring` back from `state`, in which it stands: by hand with the gate it has, and
    by a gate put in for good; each carried out in a run. Those that work come first, the gate as
    it is before another.

    By hand is left out where it cannot last: a ratio-locked gate waits for what is held, and an
    open gate whose turns are not in the ratio of the recipe jams again by itself.

    `carriers` is how many to take out; unless told, a sixteenth of the loop. Empty where no card
    can be made: the loop is no plain loop with a gate, or nothing can be told to be missing.
    """
    terms = terms_of(ring)
    if terms is None:
        return ()
    count = ceil(ring.cells / SIXTEENTH) if carriers is None else carriers
    found = []
    for way in (BY_HAND, BY_GATE):
        if way == BY_HAND and not _by_hand(ring, terms):
            continue
        card = make_card(ring, terms, state, way, count)
        if card.hands or (card.missing and card.purge):
            found.append(carry_out(layout, ring, terms, card, state))
    return tuple(sorted(found, key=lambda outcome: not outcome.works))


def recover_jam(
    layout: Layout, ring: Ring, jam: Jam, carriers: int | None = None
) -> tuple[Outcome, ...]:
    """`recover_loop` from the end of a jam that the prover found."""
    end = simulate_layout(layout, jam.scenario, start=jam.start).end
    return recover_loop(layout, ring, end, carriers)


def best_cards(layout: Layout, verdicts: Iterable[Verdict]) -> tuple[Outcome, ...]:
    """The best card for each shape of loop that jams in one of `verdicts`."""
    cards: dict[tuple[object, ...], Outcome] = {}
    for verdict in verdicts:
        shape = verdict.ring.shape()
        if verdict.jam is not None and shape not in cards:
            for best in recover_jam(layout, verdict.ring, verdict.jam)[:1]:
                cards[shape] = best
    return tuple(cards.values())


def _by_hand(ring: Ring, terms: Terms) -> bool:
    """Whether supplies can be held and let in at the gate as it is, with lasting success."""
    return ring.rule != "ratio-locked" and (ring.rule != "open" or in_ratio(terms))
