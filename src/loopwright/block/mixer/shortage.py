"""What a lane that is not full does to the mix: a missed turn goes to the next inlet.

Carriers are taken as a flow. A merge by turns shares what it passes evenly among its inlets, and
what an inlet cannot bring goes evenly to those beside it that can.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from loopwright.block.mixer.mixer import Leaf, Mixer, Node


@dataclass(frozen=True, slots=True, order=True)
class _Near:
    """A number a touch beside `value`: by `slope` times something smaller than any fraction."""

    value: Fraction
    slope: Fraction = Fraction(0)

    def __add__(self, other: _Near) -> _Near:
        return _Near(self.value + other.value, self.slope + other.slope)

    def __sub__(self, other: _Near) -> _Near:
        return _Near(self.value - other.value, self.slope - other.slope)

    def __truediv__(self, parts: int) -> _Near:
        return _Near(self.value / parts, self.slope / parts)


_NOTHING, _ALL = _Near(Fraction(0)), _Near(Fraction(1))


def need_of(mixer: Mixer, material: str, product: Fraction | None = None) -> Fraction:
    """What the lane of `material` must bring [of a belt] at `product` [of a belt], by default as
    fast as the mixer goes; with less the ratio breaks."""
    rate = mixer.net_rate if product is None else product
    return rate * dict(mixer.shares)[material] / mixer.total


def short_product(
    mixer: Mixer, material: str, supply: Fraction
) -> tuple[tuple[str, Fraction], ...]:
    """Product of each material [of a belt] at full rate, if the lane of `material` brings only
    `supply` [of a belt] and all others are full.

    The lane's leaves are taken to share what it brings evenly, as far as each can use it.

    Raises
    ------
    ValueError
        `supply` is negative, or the mixer does not know the material.
    """
    if supply < 0 or material not in dict(mixer.shares):
        raise ValueError(f"no shortage: {material} {supply}")
    level = _level(mixer, material, min(supply, need_of(mixer, material)))
    flows = _flows(mixer, material, _Near(level))
    return tuple(
        (name, sum((flow.value for of, flow in flows if of == name), Fraction(0)))
        for name, _ in mixer.shares
    )


def _level(mixer: Mixer, material: str, supply: Fraction) -> Fraction:
    """What each leaf of `material` is offered, so that together they take `supply`.

    What they take rises with the level, along straight pieces: each step of the search goes along
    one piece from either end of what is left.
    """

    def taken(level: Fraction, side: int) -> _Near:
        flows = _flows(mixer, material, _Near(level, Fraction(side)))
        return sum((flow for of, flow in flows if of == material), _NOTHING)

    low, high = Fraction(0), Fraction(1)
    while True:
        tries = [(low + high) / 2]
        for end, side in ((high, -1), (low, 1)):
            here = taken(end, side)
            if here.value == supply:
                return end
            if here.slope:
                tries.append(end + side * (supply - here.value) / here.slope)
        for level in reversed(tries):
            if low < level < high:
                value = taken(level, 1).value
                if value == supply:
                    return level
                low, high = (level, high) if value < supply else (low, level)


def _flows(mixer: Mixer, material: str, level: _Near) -> list[tuple[str | None, _Near]]:
    """What each leaf passes when the root passes all it can."""
    return _passed(mixer.root, _ALL, material, level)


def _passed(
    tree: Node | Leaf, pull: _Near, material: str, level: _Near
) -> list[tuple[str | None, _Near]]:
    if isinstance(tree, Leaf):
        return [(tree.material, pull)]
    most = [_most(inlet, material, level) for inlet in tree.inlets]
    found = []
    for inlet, part in zip(tree.inlets, _by_turns(pull, most), strict=True):
        found += _passed(inlet, part, material, level)
    return found


def _most(tree: Node | Leaf, material: str, level: _Near) -> _Near:
    """The most that `tree` can bring."""
    if isinstance(tree, Leaf):
        return min(level, _ALL) if tree.material == material else _ALL
    return min(_ALL, sum((_most(inlet, material, level) for inlet in tree.inlets), _NOTHING))


def _by_turns(pull: _Near, most: Sequence[_Near]) -> list[_Near]:
    """`pull` shared evenly, as far as each can: from the least to the most able."""
    parts = [_NOTHING] * len(most)
    left = pull
    for done, index in enumerate(sorted(range(len(most)), key=lambda index: most[index])):
        parts[index] = min(most[index], left / (len(most) - done))
        left = left - parts[index]
    return parts
