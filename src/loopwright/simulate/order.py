"""Who goes before whom: the order in which belts step."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from heapq import heapify, heappop, heappush


def belt_order(downstream: Mapping[int, Iterable[int]]) -> tuple[list[int], list[int]]:
    """Belts in the order in which they step, and those at which rings are broken.

    Belts are numbers in the order of their names; `downstream` gives the belts that the head of
    each feeds. Downstream goes first, then the lower number; where only rings are left, the
    lowest number on a ring goes.
    """
    upstream: dict[int, list[int]] = {belt: [] for belt in downstream}
    waits: dict[int, int] = {}
    for belt, feeds in downstream.items():
        waits[belt] = len(set(feeds))
        for fed in set(feeds):
            upstream[fed].append(belt)
    free = [belt for belt, count in waits.items() if count == 0]
    heapify(free)
    order: list[int] = []
    breaks: list[int] = []
    while waits:
        if not free:
            chosen = min(_on_rings({b: [x for x in downstream[b] if x in waits] for b in waits}))
            breaks.append(chosen)
        else:
            chosen = heappop(free)
        order.append(chosen)
        del waits[chosen]
        for belt in upstream[chosen]:
            if belt in waits:
                waits[belt] -= 1
                if waits[belt] == 0:
                    heappush(free, belt)
    return order, breaks


def _on_rings(feeds: Mapping[int, Sequence[int]]) -> set[int]:
    """The numbers that lie on a ring of `feeds`: strongly connected components (Tarjan 1972)."""
    found: dict[int, int] = {}
    low: dict[int, int] = {}
    stack: list[int] = []
    on_stack: set[int] = set()
    rings: set[int] = set()
    for root in feeds:
        if root in found:
            continue
        found[root] = low[root] = len(found)
        stack.append(root)
        on_stack.add(root)
        trail = [(root, iter(feeds[root]))]
        while trail:
            at, ahead = trail[-1]
            following = next(ahead, None)
            if following is None:
                trail.pop()
                if trail:
                    low[trail[-1][0]] = min(low[trail[-1][0]], low[at])
                if low[at] == found[at]:
                    _close(at, feeds, stack, on_stack, rings)
            elif following not in found:
                found[following] = low[following] = len(found)
                stack.append(following)
                on_stack.add(following)
                trail.append((following, iter(feeds[following])))
            elif following in on_stack:
                low[at] = min(low[at], found[following])
    return rings


def _close(
    root: int,
    feeds: Mapping[int, Sequence[int]],
    stack: list[int],
    on_stack: set[int],
    rings: set[int],
) -> None:
    """Take the component of `root` off `stack`; keep it if it is a ring."""
    component = []
    while True:
        member = stack.pop()
        on_stack.discard(member)
        component.append(member)
        if member == root:
            break
    if len(component) > 1 or root in feeds[root]:
        rings.update(component)
