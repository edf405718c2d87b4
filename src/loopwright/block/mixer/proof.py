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
    `recipes` whole recipes are fresh. `spread` bounds how far the fresh carriers of any stretch are
    from their shares [carriers], wherever the turns of the merges stand; `stray` is how far they
    are at most if all merges begin with their first inlets.
    """

    claim: str
    assumptions: tuple[str, ...]
    lines: tuple[Line, ...]
    round: int
    passes: tuple[int, ...]
    recipes: int
    spread: Fraction
    stray: Fraction


def prove_mixer(mixer: Mixer) -> Proof:
    """The proof that `mixer` is exact while its lanes are full."""
    round_ = mixer.round
    passes = tuple(int(weight * round_) for _, weight in mixer.leaves)
    fresh = Counter(mixer.sequence)
    recipes = len(mixer.sequence) // mixer.total
    spread = fresh_spread(mixer)
    back = round_ - len(mixer.sequence)
    claim = (
        "In every stretch of product, however long, the count of each material is within "
        f"{spread}{' + C' if back else ''} of its exact share: {_ratio(mixer)}."
    )
    leaves = ", ".join(
        f"{name or 'feedback'} {count}"
        for (name, _), count in zip(mixer.leaves, passes, strict=True)
    )
    lines = [
        Line(
            "Of any N carriers that a merge of k inlets passes, each inlet gives N/k, rounded down "
            "or up",
            "it gives turns, and no inlet is empty at its turn",
        ),
        Line(
            "Of any N carriers that the root passes, a leaf of weight w gives w N, rounded down or "
            "up, wherever the turns stand",
            "N/j rounded and then divided by k and rounded the same way is N/(j k) rounded",
        ),
        Line(
            f"Of {round_} carriers they give exactly, leaf by leaf: {leaves}",
            "the weights have these parts of the round",
        ),
        Line(
            f"The fresh ones among them are {_counts(fresh)}: {recipes} x the recipe",
            "the leaves of each material added up",
        ),
        Line(
            "In any stretch of the root's carriers each count is within "
            f"{spread} of its share of the fresh ones",
            "each leaf is off by less than 1, from its own share and from that of the others",
        ),
    ]
    return Proof(
        claim,
        _assumptions(back),
        (*lines, *(_feedback_lines(back, round_) if back else _straight_lines())),
        round_,
        passes,
        recipes,
        spread,
        fresh_stray(mixer),
    )


def fresh_spread(mixer: Mixer) -> Fraction:
    """How far the fresh carriers of any stretch are from their shares, at most [carriers].

    With every leaf less than 1 off, a material of share r with l of n leaves is less than
    (1 - r) l + r (n - l) off its share of all fresh carriers.
    """
    counts = Counter(material for material, _ in mixer.leaves if material is not None)
    leaves = counts.total()
    return max(
        (1 - share) * counts[name] + share * (leaves - counts[name])
        for name, share in ((name, Fraction(part, mixer.total)) for name, part in mixer.shares)
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
            "The product is what the root passes, carrier by carrier",
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
            "Of each material: product = fresh carriers passed - what has come to lie between "
            "root, feedback lane and root",
            "a carrier that is fed back comes to the root again; none is made, none is lost",
        ),
        Line(
            "So in any stretch of product each count is off by at most C more than that",
            "there are from 0 to C carriers between root, feedback lane and root at either end of "
            "the stretch, whatever they carry",
        ),
    )


def _ratio(mixer: Mixer) -> str:
    return ", ".join(f"{name} {Fraction(share, mixer.total)}" for name, share in mixer.shares)


def _counts(counts: Counter[str]) -> str:
    return ", ".join(f"{name} {count}" for name, count in sorted(counts.items()))
