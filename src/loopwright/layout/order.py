"""The natural order of names: runs of digits count as numbers."""

from __future__ import annotations

import re

NameKey = tuple[tuple[tuple[int, int, str], ...], str]

_DIGITS = re.compile(r"(\d+)")


def natural_key(name: str) -> NameKey:
    """Sort key by which "row 2" comes before "row 10"; names alike in this compare as text."""
    runs = [run for run in _DIGITS.split(name) if run]
    return tuple((0, int(run), "") if run.isdecimal() else (1, 0, run) for run in runs), name
