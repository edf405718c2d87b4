"""Shapes: all trees of 2- and 3-way merges, before anybody says what their leaves carry."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import combinations_with_replacement, groupby, product
from math import lcm

Shape = tuple["Shape", ...]
"""Shapes of the inlets, in order of size; a leaf is the empty tuple."""

Profile = tuple[int, ...]
"""Denominators of the weights of a shape's leaves, in rising order."""


@cache
def shapes(merges: int) -> tuple[Shape, ...]:
    """All shapes with so many merges; the order of inlets does not make a new one."""
    if merges == 0:
        return ((),)
    found: set[Shape] = set()
    for sizes in _inlet_sizes(merges - 1):
        groups = [(size, len(list(alike))) for size, alike in groupby(sizes)]
        choices = [combinations_with_replacement(shapes(size), count) for size, count in groups]
        for choice in product(*choices):
            found.add(tuple(sorted(inlet for group in choice for inlet in group)))
    return tuple(sorted(found))


@cache
def profiles(merges: int) -> tuple[Profile, ...]:
    """The profiles of all shapes with so many merges: far fewer than shapes."""
    if merges == 0:
        return ((1,),)
    found = {
        tuple(sorted(len(sizes) * weight for profile in choice for weight in profile))
        for sizes in _inlet_sizes(merges - 1)
        for choice in product(*map(profiles, sizes))
    }
    return tuple(sorted(found))


def shapes_of(merges: int, profile: Profile) -> tuple[Shape, ...]:
    """The shapes with so many merges and this profile."""
    return tuple(shape for shape in shapes(merges) if profile_of(shape) == profile)


@cache
def profile_of(shape: Shape) -> Profile:
    """The profile of `shape`."""
    return tuple(sorted(denominators(shape)))


@cache
def denominators(shape: Shape) -> tuple[int, ...]:
    """Denominators of the weights of the leaves of `shape`, from top to bottom."""
    if not shape:
        return (1,)
    return tuple(len(shape) * weight for inlet in shape for weight in denominators(inlet))


def common_round(profile: Profile) -> int:
    """The least number of which every leaf gets a whole share."""
    return lcm(*profile)


def _inlet_sizes(merges: int) -> Iterator[tuple[int, ...]]:
    """Ways to share out so many merges among 2 or 3 inlets, in rising order."""
    for first in range(merges // 2 + 1):
        yield first, merges - first
    for first in range(merges // 3 + 1):
        for second in range(first, (merges - first) // 2 + 1):
            yield first, second, merges - first - second
