"""The fewest edges that part two sets of ends, as the greatest flow from one to the other.

L. R. Ford and D. R. Fulkerson, Maximal flow through a network, Canadian Journal of Mathematics 8,
1956, pages 399 to 404.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Collection, Hashable, Sequence
from typing import TypeVar

End = TypeVar("End", bound=Hashable)


def least_cut(
    edges: Sequence[tuple[End, End]], sources: Collection[End], sinks: Collection[End]
) -> int:
    """How few of `edges` can be taken away so that no way along the others leads from `sources` to
    `sinks`, which have no end in common."""
    room: dict[tuple[End, End], int] = defaultdict(int)
    beside: dict[End, set[End]] = defaultdict(set)
    for one, other in edges:
        if one != other:
            room[one, other] += 1
            room[other, one] += 1
            beside[one].add(other)
            beside[other].add(one)
    found = 0
    while way := _way(room, beside, sources, sinks):
        for one, other in way:
            room[one, other] -= 1
            room[other, one] += 1
        found += 1
    return found


def _way(
    room: dict[tuple[End, End], int],
    beside: dict[End, set[End]],
    sources: Collection[End],
    sinks: Collection[End],
) -> list[tuple[End, End]]:
    """The edges of a shortest way on which there is room; none where there is no way."""
    before: dict[End, End] = {}
    seen = set(sources)
    queue = deque(sources)
    while queue:
        one = queue.popleft()
        if one in sinks:
            way = []
            while one in before:
                way.append((before[one], one))
                one = before[one]
            return way
        for other in beside[one]:
            if other not in seen and room[one, other]:
                seen.add(other)
                before[other] = one
                queue.append(other)
    return []
