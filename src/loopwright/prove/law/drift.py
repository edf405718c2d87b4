"""The law of drift: an open gate lets equal numbers of carriers in, whatever the recipe takes."""

from __future__ import annotations

from fractions import Fraction

from loopwright.prove.law.terms import Terms


def in_ratio(terms: Terms) -> bool:
    """Whether the recipe uses equal numbers of full carriers of all inputs."""
    return len({terms.carriers(name) for name in terms.needs}) == 1


def drift(terms: Terms) -> dict[str, Fraction]:
    """Carriers of each input that enter in a step beyond what is used, at full rate: as many of
    each enter as of the one that is used most."""
    most = max(terms.carriers(name) for name in terms.needs)
    return {name: most - terms.carriers(name) for name in terms.needs}
