"""The laws of an outage: how long stock lasts, what is harmless, what is lost, when it jams.

All spans are lengths of an outage of the dock; the belt from the dock to the gate gives first what
stands on it, and has to be travelled again afterwards.
"""

from __future__ import annotations

from fractions import Fraction

from loopwright.prove.law.mix import share_without
from loopwright.prove.law.terms import Terms


def delay(terms: Terms, material: str, supply: int) -> Fraction:
    """Steps by which the gate's want of `material` is shorter than the outage, where the belt from
    its dock has `supply` cells: what stands on it, less the way back to the gate."""
    return supply / terms.carriers(material) - (supply + 1)


def on_loop(terms: Terms, material: str) -> Fraction:
    """Units of `material` on the loop at full rate: gaps travel from the pickers to the gate, all
    other places are full, in the ratio of the recipe."""
    carried = terms.places - terms.load * (terms.places - terms.reach)
    return carried * terms.needs[material].amount / terms.batch


def in_buffers(terms: Terms, material: str) -> int:
    """Units of `material` in the stations, all full."""
    return terms.stations * terms.needs[material].cap


def extra_after(terms: Terms, material: str, supply: int, span: Fraction) -> Fraction:
    """Y after an outage of `span` [s]: every gap that comes to the gate meanwhile takes one of the
    others. That is rho a step while `material` is picked off the loop and the gaps of that time
    come round, then less by what is no longer picked, until all is full."""
    want = max(Fraction(0), span * terms.speed - delay(terms, material, supply))
    picked = on_loop(terms, material) / terms.use(material) + terms.places - terms.reach
    rest = 1 - Fraction(terms.needs[material].amount, terms.batch)
    extra = terms.load * (min(want, picked) + rest * max(Fraction(0), want - picked))
    return min(extra, Fraction(terms.places + terms.held(without=material)))


def share_after(terms: Terms, material: str, supply: int, span: Fraction) -> Fraction:
    """p: share of full rate for ever after an outage of `span` [s]."""
    return share_without(terms, material, extra_after(terms, material, supply, span))


def safe_span(terms: Terms, material: str, supply: int) -> Fraction:
    """The longest outage that costs no rate for ever [s]: the free part of the belt, (1 - rho)
    (L - 1), fills at rho a step."""
    budget = (1 - terms.load) * terms.places / terms.load
    return max(Fraction(0), (delay(terms, material, supply) + budget) / terms.speed)


def jam_span(terms: Terms, material: str, supply: int) -> Fraction:
    """The outage after which the loop stands for good [s]: all of `material` is used up, and the
    last gaps have come round; with carriers of one unit."""
    stock = on_loop(terms, material) + in_buffers(terms, material)
    used = stock / terms.use(material) + terms.places
    return max(Fraction(0), (delay(terms, material, supply) + used) / terms.speed)


def jam_span_part_used(terms: Terms, material: str, supply: int, load: int) -> Fraction:
    """The same where all carriers come with `load` units and go round part-used, holding
    (u + 1) / 2 each: the gaps of so long an outage let in as many units of the others, a full
    carrier each, as all places and buffers take."""
    held = Fraction(load + 1, 2)
    room = terms.places * held + terms.held(without=material)
    rate = terms.load * load
    picked = on_loop(terms, material) * held / terms.use(material) + terms.places - terms.reach
    rest = 1 - Fraction(terms.needs[material].amount, terms.batch)
    want = room / rate
    if want > picked:
        want = picked + (want - picked) / rest
    return max(Fraction(0), (delay(terms, material, supply) + want) / terms.speed)
