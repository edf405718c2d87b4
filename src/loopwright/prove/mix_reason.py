"""What comes mixed by turns: the lines of a proof about it, and what stands in its way."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from loopwright.prove.claim import Reason
from loopwright.prove.obstacle import Obstacle
from loopwright.prove.ring import Mix, Ring


def mix_reason(belt: str, mix: Mix) -> Reason:
    """What a round of the mixer behind `belt` holds."""
    fresh = mix.round * (1 - mix.back)
    told = ", ".join(f"{name} {share * fresh}" for name, share in mix.shares)
    back = f", {mix.round - fresh} fed back over {mix.cells} cells" if mix.back else ""
    return Reason("mix", f"{belt} comes by turns: of {mix.round} carriers {told}{back}")


def fresh_places(ring: Ring, belt: str) -> Fraction:
    """Share of the places of a pattern that the inlet `belt` has."""
    return Fraction(ring.pattern.count(belt), len(ring.pattern))


def rate_reasons(ring: Ring) -> Iterator[Reason]:
    """Each mixer passes as much as its places ask."""
    for feed in ring.feeds:
        if feed.mix is not None:
            yield Reason(
                "rate",
                f"{feed.belt}: {1 - feed.mix.back} of a belt comes out >= "
                f"{ring.pattern.count(feed.belt)} of {len(ring.pattern)} places",
            )


def mix_obstacles(ring: Ring, belt: str, mix: Mix) -> Iterator[Obstacle]:
    """Lanes of a mixer that need not stay full, or too little that comes out of it."""
    if not mix.prompt:
        yield Obstacle(
            f"{belt} is mixed, and its lanes need not stay full: they share docks, are slower than "
            "the loop, or too short where they are fed back",
            "supply each mixer from docks of its own (supply: docks)",
        )
    if 1 - mix.back < fresh_places(ring, belt):
        yield Obstacle(
            f"{belt} brings {1 - mix.back} of a belt, its places ask {fresh_places(ring, belt)}",
            "give what comes back more places, or shorten the row",
        )


def patterns_to(ring: Ring, material: str) -> int:
    """Patterns within which `material` is sure to enter."""
    found = [1 for feed in ring.feeds if feed.material == material]
    for feed in ring.feeds:
        if feed.mix is not None and material in dict(feed.mix.shares):
            found.append(ceil(Fraction(feed.mix.gap(material), ring.pattern.count(feed.belt))))
    return min(found)
