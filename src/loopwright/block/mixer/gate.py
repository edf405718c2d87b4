"""The other way to mix: a gate that admits carriers by a level pattern."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from loopwright.block.mixer.design import lowest_terms
from loopwright.block.sequence import (
    balanced_sequence,
    bottleneck_sequence,
    largest_stray,
    level_sequence,
)


@dataclass(frozen=True, slots=True)
class PatternGate:
    """A ratio-locked gate with one inlet a material; it waits for the one whose place it is.

    `pattern` is the evenest found by both ways to make one; no other strays less than `stray`
    [carriers]. `balanced` is a pattern in which all stretches of one length hold the same counts
    up to 1, if there is any: nothing is spaced better.
    """

    pattern: tuple[str, ...]
    stray: Fraction
    balanced: tuple[str, ...] | None

    @property
    def devices(self) -> int:
        """A stop for each lane; one counter of the pattern's length moves them all."""
        return len(set(self.pattern))


def design_gate(ratio: Mapping[str, int | Fraction]) -> PatternGate:
    """The pattern gate of `ratio` [carriers of each material].

    The pattern is Webster's if no other strays less, else one of least stray.

    Raises
    ------
    RatioError
        As `lowest_terms`.
    """
    shares = lowest_terms(ratio)
    names = [name for name, _ in shares]
    counts = [share for _, share in shares]
    patterns = (level_sequence(counts), bottleneck_sequence(counts))
    pattern = min(patterns, key=lambda one: largest_stray(one, counts))
    balanced = balanced_sequence(counts)
    return PatternGate(
        tuple(names[index] for index in pattern),
        largest_stray(pattern, counts),
        None if balanced is None else tuple(names[index] for index in balanced),
    )
