"""A mixer as a layout: its lanes, merges and diverts, with a drain for the product."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import count

from loopwright.block.mixer import Leaf, Mixer, Node
from loopwright.layout.layout import Layout
from tests.layouts.build import Build

PRODUCT = "product drain"


def mixer_layout(
    mixer: Mixer, length: int = 4, rates: Mapping[str, Fraction] | None = None
) -> Layout:
    """Full lanes, the tree, and the feedback; all belts have `length` cells, one step a second.

    Lanes of `rates` [carriers/s] are short.

    Belts on the way from the root back to the root are named `ring ...`: they hold what the proof
    calls C.
    """
    return _Making(mixer, length, rates or {}).layout()


class _Making:
    """One layout in the making."""

    def __init__(self, mixer: Mixer, length: int, rates: Mapping[str, Fraction]) -> None:
        self.mixer = mixer
        self.length = length
        self.rates = rates
        self.build = Build([name for name, _ in mixer.shares], stack=1)
        self.numbers = count(1)
        self.ends: dict[str | None, list[str]] = {}

    def layout(self) -> Layout:
        self.belt("ring output")
        self.join(self.mixer.root, "ring output")
        back = self.ends.pop(None, [])
        for material, belts in self.ends.items():
            assert material is not None
            lane = belts[0] if len(belts) == 1 else self.belt(f"lane {material}")
            self.build.source(lane, material, self.rates.get(material))
            self.split(lane, belts)
        product = self.belt("product") if back else "ring output"
        if back:
            many = len(back) > 2
            firsts = [back[0], self.belt("ring rest")] if many else back
            self.build.divert("ring output", [*firsts, product], "overflow")
            if many:
                self.split("ring rest", back[1:])
        self.build.drain(product, PRODUCT)
        return self.build.layout()

    def belt(self, name: str) -> str:
        return self.build.belt(name, self.length)

    def join(self, node: Node, outlet: str) -> None:
        """The merge of `node`, and all before it."""
        inlets = []
        for inlet in node.inlets:
            if isinstance(inlet, Leaf):
                kind = "leaf" if inlet.material else "ring leaf"
                belt = self.belt(f"{kind} {next(self.numbers)}")
                self.ends.setdefault(inlet.material, []).append(belt)
            else:
                kind = "ring stem" if _fed_back(inlet) else "stem"
                belt = self.belt(f"{kind} {next(self.numbers)}")
                self.join(inlet, belt)
            inlets.append(belt)
        self.build.merge(inlets, outlet)

    def split(self, lane: str, belts: Sequence[str]) -> None:
        """By turns, with as few diverts as can be."""
        if len(belts) > 3:
            rest = self.belt(f"{lane} from {belts[2]}")
            self.build.divert(lane, [*belts[:2], rest])
            self.split(rest, belts[2:])
        elif len(belts) > 1:
            self.build.divert(lane, belts)


def _fed_back(tree: Node | Leaf) -> bool:
    if isinstance(tree, Leaf):
        return tree.material is None
    return any(map(_fed_back, tree.inlets))


def ring_cells(layout: Layout) -> int:
    """Cells from the root through the feedback lane back to the root; 0 if nothing goes back."""
    if not layout.diverts or all(divert.rule != "overflow" for divert in layout.diverts):
        return 0
    return sum(len(belt.path) for belt in layout.belts if belt.name.startswith("ring "))
