"""The natural order of names: runs of digits count as numbers."""

from __future__ import annotations

import re

_DIGITS = re.compile(r"([0-9]+)")


def natural_key(name: str) -> tuple[tuple[int, int, str], ...]:
    """Sort key by which "row 2" comes before "row 10"."""
    parts = _DIGITS.split(name)
    return tuple(
        (0, int(part), part) if index % 2 else (1, 0, part)
        for index, part in enumerate(parts)
        if part
    )
