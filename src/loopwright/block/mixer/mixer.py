"""The mixer: a tree of merges by turns whose leaves are lanes of materials, or feedback lanes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import lcm


@dataclass(frozen=True, slots=True)
class Leaf:
    """A full lane that a merge draws from. `material` is None for a feedback leaf: a lane that is
    refilled, before anything else, from the mixer's own output."""

    material: str | None


@dataclass(frozen=True, slots=True)
class Node:
    """A merge by turns of 2 or 3 inlets, each a lane or the outlet of another such merge."""

    inlets: tuple[Node | Leaf, ...]


@dataclass(frozen=True, slots=True)
class Mixer:
    """A tree that mixes `shares` [carriers of each material] exactly.

    Every merge gives its inlets equal turns, so a leaf below merges of k1, k2, ... inlets has the
    weight 1 / (k1 k2 ...): its share of what the root passes. `shares` are in lowest terms.
    """

    shares: tuple[tuple[str, int], ...]
    root: Node

    @property
    def total(self) -> int:
        """Carriers in one recipe: the sum of the shares."""
        return sum(share for _, share in self.shares)

    @property
    def round(self) -> int:
        """Carriers that the root passes until all merges are back at their first turn."""
        return round_of(self.root)

    @property
    def leaves(self) -> tuple[tuple[str | None, Fraction], ...]:
        """Material, None for feedback, and weight of each leaf, as drawn from top to bottom."""
        return tuple((leaf.material, weight) for leaf, weight in weights_of(self.root))

    @property
    def feedback(self) -> Fraction:
        """Share of the root's carriers that goes back: the weight of all feedback leaves."""
        return self.weight(None)

    @property
    def net_rate(self) -> Fraction:
        """Share of a full belt that leaves as mixed product [carriers a step]."""
        return 1 - self.feedback

    @property
    def merges(self) -> int:
        """Merges of the tree."""
        return len(list(nodes_of(self.root)))

    @property
    def supply_splits(self) -> int:
        """Diverts that split the supplies of materials with several leaves, 2 or 3 ways each."""
        counts = Counter(material for material, _ in self.leaves if material is not None)
        return sum(splits(count) for count in counts.values())

    @property
    def feedback_splits(self) -> int:
        """Diverts that part the output into product and feedback leaves, 2 or 3 ways each."""
        return splits(1 + sum(1 for material, _ in self.leaves if material is None))

    @property
    def devices(self) -> int:
        """Merges and diverts in all."""
        return self.merges + self.supply_splits + self.feedback_splits

    @property
    def columns(self) -> int:
        """Columns that it takes at most before the head of a row [cells]: for each level of merges
        and each lane that is split, two; one a material; and ten for docks, bends and leaves."""
        leaves = Counter(material for material, _ in self.leaves)
        tracks = sum(material is None or count > 1 for material, count in leaves.items())
        return 2 * (levels_of(self.root) + tracks) + len(self.shares) + 10

    @property
    def turns(self) -> tuple[str | None, ...]:
        """What the leaves pass in one round; None is a carrier fed back."""
        leaves = self.leaves
        return tuple(leaves[number][0] for number in turns_of(self.root))

    @property
    def sequence(self) -> tuple[str, ...]:
        """The fresh carriers in a round, in their order: the order of the product, where nothing
        is fed back, or where each feedback leaf holds one carrier."""
        return tuple(material for material in self.turns if material is not None)

    def weight(self, material: str | None) -> Fraction:
        """The weight of all leaves of `material`, or of the feedback: share of the root's turns."""
        return sum((weight for name, weight in self.leaves if name == material), Fraction(0))


def splits(ends: int) -> int:
    """The fewest 2- and 3-way diverts that split one belt into so many."""
    return ends // 2


def levels_of(tree: Node | Leaf) -> int:
    """Merges one after the other, at most."""
    return 0 if isinstance(tree, Leaf) else 1 + max(map(levels_of, tree.inlets))


def nodes_of(node: Node) -> Iterator[Node]:
    """`node` and all merges below it, from the root down, from top to bottom."""
    yield node
    for inlet in node.inlets:
        if isinstance(inlet, Node):
            yield from nodes_of(inlet)


def weights_of(
    tree: Node | Leaf, weight: Fraction = Fraction(1)
) -> Iterator[tuple[Leaf, Fraction]]:
    """Each leaf of `tree` with its weight, from top to bottom."""
    if isinstance(tree, Leaf):
        yield tree, weight
        return
    for inlet in tree.inlets:
        yield from weights_of(inlet, weight / len(tree.inlets))


def round_of(tree: Node | Leaf) -> int:
    """Carriers until all merges of `tree` are back at their first turn."""
    if isinstance(tree, Leaf):
        return 1
    return len(tree.inlets) * lcm(*map(round_of, tree.inlets))


def turns_of(tree: Node | Leaf, first: int = 0) -> tuple[int, ...]:
    """Numbers of the leaves in the order in which they pass, one round; leaves count from `first`,
    from top to bottom."""
    if isinstance(tree, Leaf):
        return (first,)
    rounds = []
    for inlet in tree.inlets:
        rounds.append(turns_of(inlet, first))
        first += len(list(weights_of(inlet)))
    ways = len(rounds)
    return tuple(
        rounds[step % ways][step // ways % len(rounds[step % ways])]
        for step in range(ways * lcm(*map(len, rounds)))
    )
