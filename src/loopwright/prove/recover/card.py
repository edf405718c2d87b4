"""A recovery card: what to take out, what to hold, what to let in again, and what comes of it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

BY_HAND, BY_GATE = "by hand", "by gate"
"""The two ways: the gate as it is, supplies held and let in again; or another gate for good."""


CLOSE = Fraction(99, 100)
"""Share of full rate that counts as full."""

SOUND = Fraction(9, 10)
"""Share of full rate that a gate makes undisturbed at least, if it is one to come back to."""


def goal_of(standard: Fraction) -> Fraction:
    """The share of full rate at which a loop is back, where its gate makes `standard` undisturbed:
    99 % of that, or of full rate where the gate is of no use in any case."""
    return CLOSE * min(Fraction(1), standard) if standard >= SOUND else CLOSE


@dataclass(frozen=True, slots=True)
class Purge:
    """The carrier of `material` to take off cell `index`, from the tail, of `belt`."""

    belt: str
    index: int
    material: str


@dataclass(frozen=True, slots=True)
class Admission:
    """A stage of letting in: of each material so many fresh carriers, all others held."""

    carriers: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Card:
    """The steps for one loop that stands.

    `missing` is what stations wait for and the loop has none of; `hold` is what must not come in;
    `purge` what to take off the loop, `clear` off the supply belts, `hands` the pickers to empty;
    `admissions` are the stages of letting in, in order. `quotas` are those of the gate to be put
    in, scarcest-first, where `way` is by gate. `predicted` [s] is the law's time to full rate,
    `slowest` [s] that with one carrier taken off, which is enough.
    """

    loop: str
    gate: str
    way: str
    missing: tuple[str, ...]
    hold: tuple[str, ...]
    purge: tuple[Purge, ...]
    clear: tuple[Purge, ...]
    hands: tuple[str, ...]
    admissions: tuple[Admission, ...]
    quotas: tuple[tuple[str, int], ...]
    predicted: Fraction
    slowest: Fraction


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the run of `card` gave.

    `stages` [s] is how long each stage of letting in took; `time` [s] from the first step to full
    rate, None where that was not reached; `share` of full rate in the end, long after; `standard`
    is what the gate makes undisturbed, from a primed start, to which the share is held.
    """

    card: Card
    stages: tuple[Fraction, ...]
    time: Fraction | None
    share: Fraction
    standard: Fraction

    @property
    def works(self) -> bool:
        """Whether the loop comes back to what counts as full rate, and stays there."""
        return self.time is not None and self.share >= goal_of(self.standard)


@dataclass(frozen=True, slots=True)
class Recovered:
    """Loops that stand and are brought back alike, all in one run; `ways` that were carried out,
    those that work first. None where no card can be made: such a loop is no plain loop with a gate,
    or nothing can be told to be missing."""

    loops: tuple[str, ...]
    ways: tuple[Outcome, ...]

    @property
    def works(self) -> bool:
        """Whether some way brings all of them back."""
        return bool(self.ways) and self.ways[0].works
