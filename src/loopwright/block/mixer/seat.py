"""Seats: which leaf of a shape carries which material, so that the product is spread evenly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import islice, product

from loopwright.block.mixer.mixer import Leaf, Node, turns_of
from loopwright.block.mixer.search import Fit
from loopwright.block.mixer.shape import Shape, denominators, shapes_of
from loopwright.block.sequence import largest_stray

MOST_TRIED = 240
"""Seatings tried of one shape; more would not be seen in the product."""


def seated_tree(names: Sequence[str], shares: Sequence[int], fits: Sequence[Fit]) -> Node:
    """Of the fits, the tree whose product strays least from the shares; ties to the first."""
    best: tuple[Fraction, Fraction] | None = None
    found: tuple[Shape, tuple[int, ...]] | None = None
    for fit in fits:
        for shape in shapes_of(fit.merges, fit.profile):
            round_ = turns_of(_tree(shape, iter(range(len(fit.profile))), list(map(str, names))))
            for seats in islice(_seatings(shape, fit), MOST_TRIED):
                stray = _strays(tuple(seats[leaf] for leaf in round_), shares)
                if best is None or stray < best:
                    best, found = stray, (shape, seats)
    assert found is not None
    shape, seats = found
    tree = _tree(shape, iter(seats), names)
    assert isinstance(tree, Node)
    return tree


def _tree(shape: Shape, seats: Iterator[int], names: Sequence[str]) -> Node | Leaf:
    """`shape` with its leaves named; a seat beyond the names is a feedback leaf."""
    if not shape:
        seat = next(seats)
        return Leaf(names[seat] if seat < len(names) else None)
    return Node(tuple(_tree(inlet, seats, names) for inlet in shape))


def _seatings(shape: Shape, fit: Fit) -> Iterator[tuple[int, ...]]:
    """The seats of the leaves from top to bottom: every different one."""
    weights = denominators(shape)
    guests = [tuple(pick[kind] for pick in fit.picks) for kind in range(len(fit.weights))]
    for choice in product(*map(_arrangements, guests)):
        queues = {weight: iter(seats) for weight, seats in zip(fit.weights, choice, strict=True)}
        yield tuple(next(queues[weight]) for weight in weights)


def _arrangements(counts: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """All orders of indexes that occur so often each."""
    if not any(counts):
        yield ()
        return
    for index, count in enumerate(counts):
        if count:
            left = [*counts]
            left[index] -= 1
            for others in _arrangements(left):
                yield (index, *others)


def _strays(seats: Sequence[int], shares: Sequence[int]) -> tuple[Fraction, Fraction]:
    """How far the fresh carriers stray, and how far all turns, feedback as one more material."""
    feedback = len(shares)
    fresh = [seat for seat in seats if seat != feedback]
    back = len(seats) - len(fresh)
    times = len(fresh) // sum(shares)
    turns = [share * times for share in shares]
    both = [*turns, back] if back else turns
    return largest_stray(fresh, shares), largest_stray(seats, both)
