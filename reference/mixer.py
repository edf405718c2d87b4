"""A mixer as a machine of tokens: merges by turns, a feedback lane, nothing else.

It reads a tree as nested lists, such as ["C", ["A", "A", "B"]], with null for a feedback leaf,
and counts what comes out. It knows no weights and no formula: it judges what is claimed of mixers.

    python -m reference.mixer '["A", "B", [null, "A"]]' --carriers 1000
"""

from __future__ import annotations

import argparse
import json
from collections import Counter, deque
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

Tree = str | None | list["Tree"]
"""A material, None for feedback, or the inlets of a merge."""


class Turns:
    """Whose turn it is, of so many ways: from the one after the last used on."""

    def __init__(self, ways: int) -> None:
        self.ways = ways
        self.next = 0

    def order(self) -> list[int]:
        """The ways in the order in which they are tried now."""
        return [(self.next + step) % self.ways for step in range(self.ways)]

    def use(self, way: int) -> None:
        """Note that `way` was used."""
        self.next = (way + 1) % self.ways


class Machine:
    """The tree at work. Lanes of materials are always full.

    Every carrier that the root passes goes to the feedback lane if that has fewer than `places`
    carriers, else it is product.
    """

    def __init__(self, tree: Tree, places: int = 1) -> None:
        self.leaves: list[str | None] = []
        self.passed: list[int] = []
        self.skipped = 0
        self.places = places if holds_feedback(tree) else 0
        self.lane: deque[str] = deque()
        self._root = self._number(tree)
        self.turns = {path: Turns(ways) for path, ways in merges(tree)}

    def product(self) -> str:
        """The next carrier of product."""
        while True:
            carrier = self.step()
            if len(self.lane) < self.places:
                self.lane.append(carrier)
            else:
                return carrier

    def step(self) -> str:
        """The next carrier that the root passes, before it is fed back or not."""
        carrier = self._pull(self._root, ())
        assert carrier is not None, "every leaf is a feedback leaf and the lane is empty"
        return carrier

    def _number(self, tree: Tree) -> int | list[object]:
        """The tree with numbers for leaves."""
        if isinstance(tree, list):
            return [self._number(inlet) for inlet in tree]
        self.leaves.append(tree)
        self.passed.append(0)
        return len(self.leaves) - 1

    def _pull(self, tree: object, path: tuple[int, ...]) -> str | None:
        """A carrier from `tree`, or None if it has none: an empty feedback lane."""
        if isinstance(tree, int):
            material = self.leaves[tree]
            if material is None:
                if not self.lane:
                    return None
                material = self.lane.popleft()
            self.passed[tree] += 1
            return material
        assert isinstance(tree, list)
        turns = self.turns[path]
        for way in turns.order():
            carrier = self._pull(tree[way], (*path, way))
            if carrier is not None:
                turns.use(way)
                return carrier
            self.skipped += 1
        return None


def merges(tree: Tree, path: tuple[int, ...] = ()) -> Iterator[tuple[tuple[int, ...], int]]:
    """Way to each merge from the root, and its number of inlets."""
    if isinstance(tree, list):
        yield path, len(tree)
        for way, inlet in enumerate(tree):
            yield from merges(inlet, (*path, way))


def holds_feedback(tree: Tree) -> bool:
    """Whether some leaf is fed back."""
    return any(map(holds_feedback, tree)) if isinstance(tree, list) else tree is None


def largest_stray(carriers: Sequence[str], shares: Mapping[str, int]) -> Fraction:
    """How far the count of a material is from its share, after any of the carriers."""
    total, seen, worst = sum(shares.values()), Counter[str](), 0
    for place, material in enumerate(carriers, 1):
        seen[material] += 1
        for name, share in shares.items():
            worst = max(worst, abs(seen[name] * total - place * share))
    return Fraction(worst, total)


def main(arguments: Sequence[str] | None = None) -> None:
    """Run a tree and print what came out."""
    parser = argparse.ArgumentParser(prog="python -m reference.mixer")
    parser.add_argument("tree", type=json.loads, help="nested lists of names, null for feedback")
    parser.add_argument("--carriers", type=int, default=1000)
    parser.add_argument("--places", type=int, default=1, help="carriers in the feedback lane")
    options = parser.parse_args(arguments)
    machine = Machine(options.tree, options.places)
    product = [machine.product() for _ in range(options.carriers)]
    print("product", dict(sorted(Counter(product).items())))
    for material, count in zip(machine.leaves, machine.passed, strict=True):
        print("leaf", material or "feedback", count)
    print("turns missed", machine.skipped)


if __name__ == "__main__":
    main()
