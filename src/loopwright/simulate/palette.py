"""Palettes of single belts, where joined belts carry more kinds in all than a cell has bits for.

What hands carriers on has to mean the same by a bit. Kinds that never meet on a belt may share one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from loopwright.simulate.kind import Kind


@dataclass(frozen=True, slots=True)
class Pass:
    """Carriers that go on from one place to the next: those of `materials`; all others, where
    `others` is said."""

    source: str
    target: str
    materials: frozenset[str] = frozenset()
    others: bool = True

    def lets(self, kind: Kind) -> bool:
        """Whether carriers of `kind` go this way."""
        return (kind.material in self.materials) != self.others


Thread = tuple[Kind, str]
"""A kind wherever it goes on as itself, by one of its places."""


def narrow_palettes(
    found: Mapping[str, Collection[Kind]], passes: Iterable[Pass], order: Sequence[Kind]
) -> dict[str, tuple[Kind, ...]]:
    """For each place the kind that each bit stands for.

    `found` are the kinds that may come to each place. Bits that a place has no use for are filled
    with other kinds of `order`, which lists all, so that no kind stands there twice.
    """
    above: dict[Thread, Thread] = {}

    def root(end: Thread) -> Thread:
        while (up := above.get(end, end)) != end:
            end = up
        return end

    for way in passes:
        for kind in order:
            if kind in found[way.source] and kind in found[way.target] and way.lets(kind):
                above[root((kind, way.source))] = root((kind, way.target))
    held = {
        place: [root((kind, place)) for kind in order if kind in kinds]
        for place, kinds in found.items()
    }
    colours = _coloured(held.values())
    return {
        place: _filled({colours[thread]: thread[0] for thread in own}, order)
        for place, own in held.items()
    }


def _coloured(groups: Iterable[Sequence[Thread]]) -> dict[Thread, int]:
    """A number for each thread, no two of a group alike: the one with most numbers around it goes
    first (D. Brelaz, New methods to color the vertices of a graph, Communications of the ACM 22,
    1979, pages 251 to 256)."""
    beside: dict[Thread, set[Thread]] = defaultdict(set)
    for group in groups:
        for thread in group:
            beside[thread].update(group)
    colours: dict[Thread, int] = {}
    near: dict[Thread, set[int]] = {thread: set() for thread in beside}
    left = dict.fromkeys(beside)
    while left:
        thread = max(left, key=lambda one: (len(near[one]), len(beside[one])))
        del left[thread]
        colour = next(n for n in range(len(beside)) if n not in near[thread])
        colours[thread] = colour
        for other in beside[thread]:
            near[other].add(colour)
    return colours


def _filled(kinds: Mapping[int, Kind], order: Sequence[Kind]) -> tuple[Kind, ...]:
    """The kinds by their numbers, with others in the gaps."""
    own = set(kinds.values())
    spare = (kind for kind in order if kind not in own)
    return tuple(kinds[n] if n in kinds else next(spare) for n in range(max(kinds, default=-1) + 1))
