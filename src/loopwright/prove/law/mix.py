"""The law of the mix: what a loop makes for ever, from what is in it now.

Where the gate fills every gap, and carriers hold one unit, the mix alone settles the rate; see
docs/theory/laws.md.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import combinations

from loopwright.prove.law.terms import Terms
from loopwright.prove.ring import Ring
from loopwright.simulate.state import State


def units_in(ring: Ring, state: State) -> dict[str, int]:
    """Units of each material on the loop, in its stations and in the hands between."""
    units = dict.fromkeys(ring.materials, 0)
    for belt in ring.belts:
        for cell in state.belts[belt]:
            if cell is not None:
                units[cell[0]] = units.get(cell[0], 0) + cell[1]
    for drawer in ring.drawers:
        for material, held in state.stations[drawer.station].inputs.items():
            if material in units:
                units[material] += held
    for tap in ring.taps:
        hand = state.pickers[tap.picker]
        if hand.material in units:
            units[hand.material] += hand.count
    return units


def surplus(terms: Terms, units: Mapping[str, int], material: str) -> Fraction:
    """Y: units of all other inputs beyond what the recipe pairs with the units of `material`."""
    worth = Fraction(units[material], terms.needs[material].amount)
    return sum(
        (
            units[name] - need.amount * worth
            for name, need in terms.needs.items()
            if name != material
        ),
        Fraction(0),
    )


def share_without(terms: Terms, material: str, extra: Fraction) -> Fraction:
    """p: share of full rate for ever, with `extra` units (Y) of the others beyond `material`."""
    need = terms.needs[material]
    others = Fraction(terms.batch - need.amount, need.amount)
    room = terms.places + terms.held(without=material) - extra
    return _clipped(room / (terms.load * terms.places + terms.stations * need.cap * others))


def share_of_mix(terms: Terms, units: Mapping[str, int | Fraction] | None = None) -> Fraction:
    """p: share of full rate for ever with `units` in the system; without them, of a loop that
    starts empty. The least over all sets of inputs that may be short."""
    return min(
        (_share(terms, short, units) for short in _sets(terms)),
        default=Fraction(1),
    )


def _sets(terms: Terms) -> Iterator[tuple[str, ...]]:
    names = tuple(terms.needs)
    for size in range(1, len(names)):
        yield from combinations(names, size)


def _share(
    terms: Terms, short: tuple[str, ...], units: Mapping[str, int | Fraction] | None
) -> Fraction:
    """The share if all of `short` run out in the served stations: these hoard as many cycles as
    their smallest cap holds, and all stations are full of the rest."""
    needs = terms.needs
    rest = {name: need for name, need in needs.items() if name not in short}
    hoard = min(Fraction(needs[name].cap, needs[name].amount) for name in short)
    room = Fraction(terms.places + terms.stations * sum(need.cap for need in rest.values()))
    if units is not None:
        worth = max(Fraction(units[name]) / needs[name].amount for name in short)
        room -= sum(units[name] - need.amount * worth for name, need in rest.items())
    paired = sum(need.amount for need in rest.values())
    return _clipped(room / (terms.load * terms.places + terms.stations * hoard * paired))


def _clipped(share: Fraction) -> Fraction:
    return min(Fraction(1), max(Fraction(0), share))
