"""Words near to a misspelt one."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from itertools import islice

_MOST = 200


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The one of `words` that is spelt most like `word`, if one comes near.

    Only the first 200 words are looked at.
    """
    by_lower = {candidate.lower(): candidate for candidate in islice(words, _MOST)}
    found = get_close_matches(word.lower()[:80], list(by_lower), n=1, cutoff=0.6)
    return by_lower[found[0]] if found else None


def listed(words: Iterable[str], most: int = 12) -> str:
    """Words in a row, the first `most` of them."""
    given = list(words)
    rest = len(given) - most
    shown = ", ".join(given[:most])
    return f"{shown} and {rest} more" if rest > 0 else shown
