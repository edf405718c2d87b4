"""Why a mixer is exact: a claim, what it assumes, and lines with a reason each."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

from loopwright.block.mixer.mixer import Mixer
from loopwright.block.sequence import largest_stray


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a proof: what holds, and why."""

    holds: str
    reason: str


@dataclass(frozen=True, slots=True)
class Proof:
    """That the product has the ratio, up to a constant.

    `round` carriers of the root hold `passes` of each leaf, as drawn from top to bottom, of which
    `recipes` whole recipes are fresh. `stray` bounds how far the fresh carriers are from their
    shares [carriers].
    """

    claim: str
    assumptions: tuple[str, ...]
    lines: tuple[Line, ...]
    round: int
    passes: tuple[int, ...]
    recipes: int
    stray: Fraction


def prove_mixer(mixer: Mixer) -> Proof:
    """The proof that `mixer` is exact while its lanes are full."""
    round_ = mixer.round
    passes = tuple(int(weight * round_) for _, weight in mixer.leaves)
    fresh = Counter(mixer.sequence)
    recipes = len(mixer.sequence) // mixer.total
    stray = fresh_stray(mixer)
    back = round_ - len(mixer.sequence)
    bound = f"{stray}" if not back else f"{stray} + C"
    claim = (
        "After every carrier of product, the count of each material is within "
        f"{bound} of its exact share {_ratio(mixer)} of all product so far."
    )
    leaves = ", ".join(
        f"{name or 'feedback'} {count}"
        for (name, _), count in zip(mixer.leaves, passes, strict=True)
    )
    lines = [
        Line(
            "A merge of k inlets passes each of them once in every k carriers",
            "it gives turns, and no inlet is empty at its turn",
        ),
        Line(
            f"{round_} carriers of the root are, leaf by leaf: {leaves}",
            f"each leaf gets 1/k of the turns of the merge above it; {round_} turns are whole "
            "rounds of every merge",
        ),
        Line(
            f"The fresh ones among them are {_counts(fresh)}: {recipes} x the recipe",
            "the leaves of each material added up",
        ),
        Line(
            f"Anywhere in this sequence, repeated for ever, a count is at most {stray} from its "
            "share",
            f"counted over one round, after which all strays are 0: {' '.join(mixer.sequence)}",
        ),
    ]
    return Proof(
        claim,
        _assumptions(back),
        (*lines, *(_feedback_lines(back, round_) if back else _straight_lines())),
        round_,
        passes,
        recipes,
        stray,
    )


def fresh_stray(mixer: Mixer) -> Fraction:
    """How far the fresh carriers are from their shares, at most [carriers]."""
    names = [name for name, _ in mixer.shares]
    sequence = [names.index(material) for material in mixer.sequence]
    return largest_stray(sequence, [share for _, share in mixer.shares])


def _assumptions(back: int) -> tuple[str, ...]:
    full = "Every leaf of a material has a carrier at each of its turns: its lane is full"
    if not back:
        return (full,)
    return (
        full,
        "The output fills the feedback lane before anything leaves as product",
        "Each belt of the feedback lane has room for 2 carriers or more, and was full once",
        "C is the number of cells from the root through the feedback lanes back to the root",
    )


def _straight_lines() -> tuple[Line, ...]:
    return (
        Line(
            "The product is this sequence, carrier by carrier",
            "nothing is fed back, and belts keep the order",
        ),
    )


def _feedback_lines(back: int, round_: int) -> tuple[Line, ...]:
    return (
        Line(
            "No feedback leaf is empty at its turn",
            f"{back} of {round_} turns draw on the feedback lane, so at most one a step; in each "
            "step the next carrier of the output is offered to it first and takes the place that "
            "was freed",
        ),
        Line(
            "Of each material: product = fresh carriers passed - those now between root, feedback "
            "lane and root",
            "a carrier that is fed back comes to the root again; none is made, none is lost",
        ),
        Line(
            "So the count of each material strays by no more than the fresh carriers' stray + C",
            "there are never more than C carriers between root, feedback lane and root, whatever "
            "they carry",
        ),
    )


def _ratio(mixer: Mixer) -> str:
    return ", ".join(f"{name} {Fraction(share, mixer.total)}" for name, share in mixer.shares)


def _counts(counts: Counter[str]) -> str:
    return ", ".join(f"{name} {count}" for name, count in sorted(counts.items()))
