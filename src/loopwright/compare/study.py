"""What varies: the cases of a battery, each one thing that is done to a layout."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from loopwright.layout.layout import Layout

CALM, OUTAGE, SHORTAGE, MIX = "undisturbed", "outage", "shortage", "wrong mix"
KINDS = (CALM, OUTAGE, SHORTAGE, MIX)

OUTAGES = (Fraction(30), Fraction(120), Fraction(600))
"""Lengths of outages that are tried unless others are asked for [s]."""

SHORTAGES = (Fraction(4, 5), Fraction(19, 20))
"""Supplies that are tried, as shares of what the stations use at full rate."""

SHORT_SPAN = Fraction(600)
"""How long a shortage lasts [s]."""


@dataclass(frozen=True, slots=True)
class Case:
    """One thing done to a layout that runs at full rate.

    `kind` is one of `KINDS`; `material` is what it is done to, empty when undisturbed; `span` [s]
    is how long it lasts; `share` is what is still supplied in a shortage.
    """

    kind: str
    material: str = ""
    span: Fraction = Fraction(0)
    share: Fraction = Fraction(0)


def stress_cases(
    layout: Layout,
    outages: Iterable[Fraction] = OUTAGES,
    shortages: Iterable[Fraction] = SHORTAGES,
) -> tuple[Case, ...]:
    """The battery: undisturbed; each supplied material away for each of `outages` [s], short by
    each of `shortages`; and each loop begun with nothing but one material."""
    supplied = dict.fromkeys(source.material for source in layout.sources)
    return (Case(CALM), *_each(supplied, tuple(outages), tuple(shortages), bool(layout.gates)))


def _each(
    materials: Iterable[str],
    outages: tuple[Fraction, ...],
    shortages: tuple[Fraction, ...],
    loops: bool,
) -> Iterator[Case]:
    for material in materials:
        yield from (Case(OUTAGE, material, span) for span in outages)
        yield from (Case(SHORTAGE, material, SHORT_SPAN, share) for share in shortages)
        if loops:
            yield Case(MIX, material)
