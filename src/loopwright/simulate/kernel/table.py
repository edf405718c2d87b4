"""The table by which compiled code finds arrays; see `array.py`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from loopwright.simulate.columns import Array

WORDS = 3
"""Numbers that a table holds of an array: its address and two extents."""


def table_of(arrays: Any) -> Array:
    """The table about one array, or about all arrays of a group in their order."""
    return np.array(list(_words(arrays)), np.int64)


def _words(arrays: Any) -> Iterator[int]:
    if isinstance(arrays, tuple):
        for member in arrays:
            yield from _words(member)
        return
    if not arrays.flags.c_contiguous:
        raise ValueError("compiled code takes arrays only as they lie in memory")
    yield arrays.__array_interface__["data"][0]
    yield arrays.shape[0]
    yield arrays.shape[1] if arrays.ndim > 1 else 0
