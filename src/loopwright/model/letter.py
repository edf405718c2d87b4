"""Letters of materials that have none of their own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from string import ascii_uppercase, digits


def choose_letters(given: Mapping[str, str]) -> dict[str, str]:
    """A mark for each material: the given one, else the first free one that its key suggests.

    Keys are served in their order; marks that are given anywhere are never taken by another.
    """
    taken = {letter for letter in given.values() if letter}
    chosen = {}
    for key, letter in given.items():
        chosen[key] = letter or next(mark for mark in _wishes(key) if mark not in taken)
        taken.add(chosen[key])
    return chosen


def _wishes(key: str) -> Iterator[str]:
    """Marks for `key`, best first: its letters, pairs that start as it does, then any."""
    own = [character for character in key.upper() if character in ascii_uppercase + digits]
    yield from own
    yield from (own[0] + other for other in own[1:])
    yield from ascii_uppercase
    yield from (one + other for one in own for other in ascii_uppercase + digits)
    yield from (one + other for one in ascii_uppercase for other in ascii_uppercase + digits)
