"""The arrays that the list of columns describes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import prod
from typing import Any, TypeVar, get_args, get_type_hints

import numpy as np

from loopwright.simulate.columns import Array, column_of

LINE = 64
"""Bytes of a line of the cache."""

Group = TypeVar("Group")


def allocate(group: Callable[..., Group], sizes: Mapping[str, int], cell: str) -> Group:
    """Arrays of `group` filled with 0; `sizes` by dimension, `cell` is the dtype of a cell."""
    return group(
        *(
            _array(get_args(hint)[1], sizes, cell)
            for hint in get_type_hints(group, include_extras=True).values()
        )
    )


def _array(text: str, sizes: Mapping[str, int], cell: str) -> Array:
    """The array that `text` describes."""
    dtype, extents, record = column_of(text, cell)
    array = _zeros([sizes[extent] for extent in extents], dtype)
    return array.view(np.recarray) if record else array


def _zeros(shape: list[int], dtype: np.dtype[Any]) -> Array:
    """An array of zeros that begins with a line of the cache."""
    size = prod(shape) * dtype.itemsize
    room = np.zeros(size + LINE, dtype=np.uint8)
    start = -room.ctypes.data % LINE
    return room[start : start + size].view(dtype).reshape(shape)
