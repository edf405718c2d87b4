"""What varies: the cases of a battery, each one thing that is done to a layout."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from loopwright.layout.layout import Layout

CALM, OUTAGE, SHORTAGE, MIX = "undisturbed", "outage", "shortage", "wrong mix"
LATE, JITTER = "missed picks", "uneven cycles"
FOREIGN, REMOVED = "foreign carrier", "carrier taken off"
KINDS = (CALM, LATE, JITTER, OUTAGE, SHORTAGE, MIX, REMOVED, FOREIGN)

OUTAGES = (Fraction(30), Fraction(120), Fraction(600))
"""Lengths of outages that are tried unless others are asked for [s]."""

SHORTAGES = (Fraction(4, 5), Fraction(19, 20))
"""Supplies that are tried, as shares of what the stations use at full rate."""

MISSED = (Fraction(3, 10),)
"""Shares of picks that are missed."""

SPREADS = (Fraction(3, 10),)
"""Spreads of cycles about their mean, to both sides, as shares of it."""

LONG_SPAN = Fraction(600)
"""How long shortages, missed picks and uneven cycles last [s]."""


@dataclass(frozen=True, slots=True)
class Case:
    """One thing done to a layout that runs at full rate.

    `kind` is one of `KINDS`; `material` is what it is done to, empty when undisturbed; `span` [s]
    is how long it lasts; `share` is what is still supplied in a shortage, which part of all picks
    is missed, or by how much of its mean a cycle may be longer or shorter.
    """

    kind: str
    material: str = ""
    span: Fraction = Fraction(0)
    share: Fraction = Fraction(0)


def stress_cases(
    layout: Layout,
    outages: Iterable[Fraction] = OUTAGES,
    shortages: Iterable[Fraction] = SHORTAGES,
    missed: Iterable[Fraction] = MISSED,
    spreads: Iterable[Fraction] = SPREADS,
) -> tuple[Case, ...]:
    """The battery: undisturbed; pickers that miss a share `missed` of their picks, and cycles with
    `spreads`; each supplied material away for each of `outages` [s] and short by each of
    `shortages`; each loop begun with nothing but one material; and by hand a carrier taken off each
    loop, and one put on that no station takes."""
    supplied = dict.fromkeys(source.material for source in layout.sources)
    loops = any(gate.main for gate in layout.gates)
    cases = [Case(CALM)]
    cases += [Case(LATE, "", LONG_SPAN, share) for share in missed]
    cases += [Case(JITTER, "", LONG_SPAN, spread) for spread in spreads]
    cases += _each(supplied, tuple(outages), tuple(shortages), loops)
    used = {name for recipe in layout.recipes for name, _ in recipe.inputs} | set(supplied)
    strange = [material.name for material in layout.materials if material.name not in used]
    cases += [Case(FOREIGN, name) for name in strange[:1] if loops]
    return tuple(cases)


def _each(
    materials: Iterable[str],
    outages: tuple[Fraction, ...],
    shortages: tuple[Fraction, ...],
    loops: bool,
) -> Iterator[Case]:
    for material in materials:
        yield from (Case(OUTAGE, material, span) for span in outages)
        yield from (Case(SHORTAGE, material, LONG_SPAN, share) for share in shortages)
        if loops:
            yield Case(MIX, material)
            yield Case(REMOVED, material)
